// What is entered is held by this browser until the program has it: a draft of the form, and the sherds that were to
// be kept while the connection was cut. They are sent when it is back. Nothing is let go of unless the program has it.

const form = document.getElementById("bench");
const place = document.getElementById("held");
const DRAFT = "wareontology.draft";
const WAITING = "wareontology.waiting";
const TRY_AGAIN_MS = 5000;

let sending = false;
let writing = 0;
let said = "";

function held(key, otherwise) {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? otherwise;
  } catch {
    return otherwise;
  }
}

function hold(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false; // the browser lets nothing be held, or has no room left
  }
}

function entered() {
  const fields = new URLSearchParams(new FormData(form));
  fields.delete("token");
  return fields;
}

const clock = () => new Date().toTimeString().slice(0, 5);
const nameOf = (body) => new URLSearchParams(body).get("s.sherd") || "a sherd without a name";
const isBlank = () => !form.querySelector("fieldset.layer") && !form.elements["s.sherd"].value;

function button(words, does) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  made.addEventListener("click", does);
  return made;
}

function line(...parts) {
  const made = document.createElement("p");
  made.append(...parts.flatMap((part) => [part, " "]));
  return made;
}

// Take a held form up: the program draws it as a bench.
function takeUp(body) {
  const sent = document.createElement("form");
  sent.method = "post";
  sent.action = form.dataset.again;
  for (const [name, value] of [...new URLSearchParams(body), ["token", form.elements.token.value]]) {
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = name;
    field.value = value;
    sent.append(field);
  }
  document.body.append(sent);
  sent.submit();
}

function show() {
  place.replaceChildren();
  const waiting = held(WAITING, []);
  const draft = held(DRAFT, null);
  if (said) place.append(line(said));
  const open = waiting.filter((each) => !each.refused);
  if (open.length) place.append(line(`${open.length} held here, sent when the program answers: ${open.map((each) => nameOf(each.body)).join(", ")}.`));
  for (const each of waiting.filter((one) => one.refused)) {
    place.append(
      line(
        `${nameOf(each.body)} was not taken (${each.refused}); it is still held here.`,
        button("Look at it", () => takeUp(each.body)),
        button("Let it go", () => {
          hold(WAITING, held(WAITING, []).filter((one) => one.id !== each.id));
          show();
        }),
      ),
    );
  }
  if (draft && isBlank()) {
    place.append(
      line(
        `${nameOf(draft.body)}, entered here at ${draft.at} and not kept, is still held.`,
        button("Take it up", () => takeUp(draft.body)),
        button("Let it go", () => {
          hold(DRAFT, null);
          show();
        }),
      ),
    );
  }
}

// The words for why the program did not take a sherd; null where it is to be tried again.
function refusal(answer) {
  if (answer.ok) return null;
  if (answer.status === 409) return "another one of that name was kept meanwhile";
  if (answer.status === 422) return "something in it is not what it must be";
  return `answer ${answer.status}`;
}

async function send() {
  if (sending) return;
  sending = true;
  try {
    for (const each of held(WAITING, []).filter((one) => !one.refused)) {
      const body = new URLSearchParams(each.body);
      body.set("token", form.elements.token.value);
      const answer = await fetch(form.dataset.keep, { method: "POST", body });
      if (answer.status >= 500) break;
      const refused = refusal(answer);
      const others = held(WAITING, []).filter((one) => one.id !== each.id);
      hold(WAITING, refused ? [...others, { ...each, refused }] : others);
      if (!refused) said = `${nameOf(each.body)} is kept in the collection, ${clock()}.`;
    }
  } catch {
    said = `No connection, ${clock()}. Everything entered is held by this browser.`;
  } finally {
    sending = false;
    show();
  }
}

function keep() {
  const body = entered();
  if (!body.get("s.sherd") || !body.get("who")?.trim()) {
    said = "To be kept a sherd needs a name or number, and who keeps it.";
    show();
    return;
  }
  const waiting = [...held(WAITING, []), { id: crypto.getRandomValues(new Uint32Array(2)).join(""), body: body.toString() }];
  if (!hold(WAITING, waiting)) {
    form.action = form.dataset.keep; // the browser holds nothing: straight to the program
    form.submit();
    return;
  }
  hold(DRAFT, null);
  send();
}

// Leave for the answer page only where the program answers: a page that cannot be shown would take the form with it.
async function readSherd() {
  try {
    await fetch(form.dataset.layer, { method: "HEAD", cache: "no-store" });
    form.submit();
  } catch {
    said = `No connection, ${clock()}. The answer page waits for it; everything entered is held by this browser.`;
    show();
  }
}

form.addEventListener("input", () => {
  clearTimeout(writing);
  writing = setTimeout(() => hold(DRAFT, { at: clock(), body: entered().toString() }), 300);
});
form.addEventListener("submit", (event) => {
  const pressed = event.submitter?.name;
  if (pressed === "add" || pressed === "remove") return;
  event.preventDefault();
  if (pressed === "keep") keep();
  else readSherd();
});
addEventListener("online", send);
setInterval(() => held(WAITING, []).some((each) => !each.refused) && send(), TRY_AGAIN_MS);
show();
send();
