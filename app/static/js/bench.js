// The bench reads itself anew as traits are added. Without this script the form works the same by its buttons.

const form = document.getElementById("bench");
const status = document.getElementById("status");
const WAIT_MS = 250;
const PARTS = ["drawing", "zone-list", "reading", "jump"];

let waiting = 0;
let running = false;
let again = false;

function token() {
  return form.elements.token.value;
}

// Set parts of a fetched page in, each where it differs; what had the focus keeps it.
function setIn(html) {
  const fetched = new DOMParser().parseFromString(html, "text/html");
  const held = document.activeElement?.closest?.("#drawing a, #zone-list a, #reading a")?.getAttribute("href");
  const within = held && PARTS.find((id) => document.getElementById(id)?.contains(document.activeElement));
  for (const id of PARTS) {
    const old = document.getElementById(id);
    const fresh = fetched.getElementById(id);
    if (old && fresh && old.innerHTML !== fresh.innerHTML) old.replaceWith(document.adoptNode(fresh));
  }
  if (held) document.querySelector(`#${within} a[href="${CSS.escape(held).replace(/\\([#:.-])/g, "$1")}"]`)?.focus();
  markFaults();
}

// Fields whose cell is refused say so to whoever cannot see the list.
function markFaults() {
  for (const marked of form.querySelectorAll("[data-amiss]")) {
    marked.removeAttribute("aria-invalid");
    marked.removeAttribute("aria-describedby");
    delete marked.dataset.amiss;
  }
  for (const said of document.querySelectorAll("#reading [data-field]")) {
    const name = said.dataset.field;
    const field = form.querySelector(`input[name="${name}.typed"], input[name="${name}"]:not([type=radio], [type=checkbox])`);
    if (!field) continue;
    field.dataset.amiss = "";
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", said.id);
  }
}

// One reading at a time: what is typed meanwhile is read when it comes back, so that none pile up.
async function read() {
  if (running) {
    again = true;
    return;
  }
  running = true;
  again = false;
  try {
    const answer = await fetch(form.dataset.reading, {
      method: "POST",
      body: new URLSearchParams(new FormData(form)),
      headers: { "X-Token": token() },
    });
    if (!answer.ok) throw new Error(String(answer.status));
    setIn(await answer.text());
    status.textContent = "";
  } catch {
    status.textContent = "Not read anew: the program does not answer. Everything typed is still here.";
  } finally {
    running = false;
    if (again) soon();
  }
}

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(read, WAIT_MS);
}

// A blank layer of a zone, as the program draws it, numbered 0. All are fetched once, while there is a connection.
const blanks = new Map();
function blank(zone, layer) {
  const address = `${form.dataset.layer}?${new URLSearchParams({ zone, layer, place: 0 })}`;
  if (!blanks.has(address)) {
    const fetched = fetch(address).then((answer) => {
      if (!answer.ok) throw new Error(String(answer.status));
      return answer.text();
    });
    fetched.catch(() => blanks.delete(address));
    blanks.set(address, fetched);
  }
  return blanks.get(address);
}

function renumber(layer, place) {
  for (const each of [layer, ...layer.querySelectorAll("[id], [name], [for]")]) {
    for (const name of ["id", "name", "for"]) {
      const text = each.getAttribute(name);
      if (text === "r0" || text?.startsWith("r0.")) each.setAttribute(name, `r${place}${text.slice(2)}`);
    }
  }
  layer.dataset.place = place;
  const remove = layer.querySelector("button.remove");
  if (remove) remove.value = place;
}

async function add(button) {
  const [zone, layer] = button.value.split(" ");
  const places = [...form.querySelectorAll("fieldset.layer")].map((each) => Number(each.dataset.place));
  const place = Math.max(-1, ...places) + 1;
  const fetched = new DOMParser().parseFromString(await blank(zone, layer), "text/html");
  const added = document.adoptNode(fetched.querySelector("fieldset.layer"));
  renumber(added, place);
  document.querySelector(`#zone-${zone} .layers`).append(added);
  added.querySelector("input:not([type=hidden])")?.focus();
  added.scrollIntoView({ block: "nearest" });
  soon();
}

// A layer that is taken out is only put aside, until the page is left.
function takeOut(layer) {
  const said = document.createElement("p");
  said.className = "taken-out";
  const back = document.createElement("button");
  back.type = "button";
  back.textContent = "Put it back";
  said.append(`Taken out: ${layer.querySelector("legend").textContent.trim()}. `, back);
  layer.disabled = layer.hidden = true;
  layer.after(said);
  back.focus();
  back.addEventListener("click", () => {
    layer.disabled = layer.hidden = false;
    said.remove();
    soon();
  });
  soon();
}

form.addEventListener("input", soon);
form.addEventListener("change", soon);
form.addEventListener("click", (event) => {
  const button = event.target.closest("button[name=add], button[name=remove]");
  if (!button) return;
  event.preventDefault();
  if (button.name === "remove") takeOut(button.closest("fieldset.layer"));
  else
    add(button).catch(() => {
      status.textContent = "The layer could not be added: the program does not answer. Everything typed is still here.";
    });
});

// Other units or paper: the choice is kept, then the bench comes anew with all that was typed.
document.querySelector("form.preferences").addEventListener("submit", async (event) => {
  event.preventDefault();
  const chosen = event.target;
  try {
    await fetch(chosen.action, { method: "POST", body: new URLSearchParams(new FormData(chosen)) });
    form.action = form.dataset.again;
    form.submit();
  } catch {
    status.textContent = "The choice was not kept: the program does not answer. Everything typed is still here.";
  }
});

// Fields that the browser filled in again after "back" count as typed.
if (form.querySelector("fieldset.layer")) soon();
for (const button of form.querySelectorAll("button[name=add]")) blank(...button.value.split(" ")).catch(() => {});
document.documentElement.dataset.ready = "bench";
