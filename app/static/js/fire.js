// By the fire: what is written down is held by this browser until the program has it, each line under an id of its own,
// so that one sent twice is kept once. Without a connection the step moves on all the same.

const form = document.getElementById("fire");
const now = document.getElementById("now");
const place = document.getElementById("held");
const KEY = `wareontology.fire.${form.dataset.name}`;
const TRY_AGAIN_MS = 5000;

let sending = false;
let said = "";
let onlyHere = []; // lines that the browser would not hold, kept as long as the page is open

function held() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? onlyHere;
  } catch {
    return onlyHere;
  }
}

function hold(lines) {
  onlyHere = lines;
  try {
    localStorage.setItem(KEY, JSON.stringify(lines));
  } catch {
    said = "This browser holds nothing: keep the page open until it is saved.";
  }
}

const pad = (number) => String(number).padStart(2, "0");
const clock = () => new Date().toTimeString().slice(0, 5);

// Local time with its offset, as the program writes it too.
function moment() {
  const at = new Date();
  const away = -at.getTimezoneOffset();
  const zone = `${away < 0 ? "-" : "+"}${pad(Math.floor(Math.abs(away) / 60))}:${pad(Math.abs(away) % 60)}`;
  const day = `${at.getFullYear()}-${pad(at.getMonth() + 1)}-${pad(at.getDate())}`;
  return `${day}T${pad(at.getHours())}:${pad(at.getMinutes())}:${pad(at.getSeconds())}${zone}`;
}

function line(button) {
  const cells = { time: moment() };
  for (const name of ["temperature_c", "note"]) {
    const text = form.elements[name].value.trim();
    if (text) cells[name] = name === "temperature_c" ? text.replace(",", ".") : text;
  }
  if (button.name === "glow") {
    cells.glow = button.value;
    delete cells.temperature_c;
  }
  if (button.name === "event") cells.event = button.value;
  if (cells.glow || cells.temperature_c) cells.place = form.elements.place.value;
  return Object.keys(cells).length > 1 ? cells : null;
}

const words = (cells) => [cells.place, cells.event, cells.glow, cells.temperature_c && `${cells.temperature_c} °C`, cells.note].filter(Boolean).join(", ");

function tell() {
  place.replaceChildren();
  const lines = held();
  const waiting = lines.filter((each) => !each.refused);
  const parts = [];
  if (said) parts.push(said);
  if (waiting.length) parts.push(`${waiting.length} held by this phone, not saved yet: ${waiting.map((each) => words(each.cells)).join("; ")}.`);
  for (const text of parts) place.append(Object.assign(document.createElement("p"), { textContent: text }));
  for (const each of lines.filter((one) => one.refused)) {
    const told = Object.assign(document.createElement("p"), { textContent: `${words(each.cells)} was not taken: ${each.refused} ` });
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Let it go" });
    button.addEventListener("click", () => {
      hold(held().filter((one) => one.id !== each.id));
      tell();
    });
    told.append(button);
    place.append(told);
  }
}

// The step moves on by itself where the event is the one that ends it.
function moveOn(event) {
  const steps = [...document.querySelectorAll("#steps li")];
  const at = steps.findIndex((each) => each.dataset.ends === event);
  const step = document.getElementById("step");
  const shown = steps.findIndex((each) => each.dataset.ends === step.dataset.ends);
  if (at < 0 || shown < 0 || at < shown) return;
  const next = steps[at + 1];
  step.textContent = next ? next.dataset.title : "The last step is done";
  step.dataset.ends = next ? next.dataset.ends : "";
  document.getElementById("do").textContent = next ? next.dataset.do : "Write down what came out.";
  document.getElementById("until").textContent = next ? `Until ${next.dataset.until}.` : "";
  showDone();
}

// Times are kept in UTC and told as this phone's clock has them.
function tellTimes() {
  for (const each of document.querySelectorAll("#saved time")) {
    each.textContent = new Date(each.dateTime).toTimeString().slice(0, 5);
  }
}

function showDone() {
  const done = document.getElementById("done");
  const ends = document.getElementById("step").dataset.ends;
  if (!done) return;
  done.hidden = !ends;
  done.value = ends;
  document.getElementById("ends").textContent = document.getElementById("step").textContent;
}

async function send() {
  const lines = held().filter((each) => !each.refused);
  if (sending || !lines.length) return;
  sending = true;
  try {
    const answer = await fetch(form.dataset.lines, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Token": form.elements.token.value },
      body: JSON.stringify(lines.map(({ id, cells }) => ({ id, cells }))),
    });
    if (answer.ok) {
      const found = await answer.json();
      const left = held().filter((each) => !found.kept.includes(each.id));
      hold(left.map((each) => (found.refused[each.id] ? { ...each, refused: found.refused[each.id] } : each)));
      if (!left.some((each) => !found.refused[each.id])) {
        now.innerHTML = found.now; // of this program itself
        showDone();
        tellTimes();
      }
      said = found.kept.length ? `Saved, ${clock()}.` : "";
    } else {
      said = `Not saved (answer ${answer.status}), ${clock()}. It is held by this phone.`;
    }
  } catch {
    said = `No connection, ${clock()}. What is written down is held by this phone.`;
  } finally {
    sending = false;
    tell();
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const cells = line(event.submitter);
  for (const each of form.querySelectorAll("details[open]")) each.open = false;
  if (!cells) {
    said = "Nothing was written: a heat, an event or a note.";
    tell();
    return;
  }
  hold([...held(), { id: [...crypto.getRandomValues(new Uint32Array(3))].map((part) => part.toString(36)).join("-"), cells }]);
  form.elements.temperature_c.value = form.elements.note.value = "";
  if (cells.event) moveOn(cells.event);
  tell();
  send();
});
addEventListener("online", send);
setInterval(send, TRY_AGAIN_MS);
document.documentElement.dataset.ready = "fire";
tellTimes();
tell();
send();
