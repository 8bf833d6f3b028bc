// Shows each view that the coach sends, and sends back what is asked for. A view is complete, so whatever was missed
// while the connection was away is right again with the next one. Text is only ever set as text; the chart is the
// server's own SVG.

const AGAIN = 1000;     // milliseconds until a lost connection is tried again
const SILENCE = 8000;   // milliseconds without a beat after which a connection counts as lost
const LONG = 90;        // characters of an instruction that is set smaller
const SVG = "http://www.w3.org/2000/svg";
const KEYS = { " ": "space", ArrowLeft: "left", ArrowRight: "right" };  // other keys that have a name move the page

const at = (id) => document.getElementById(id);
const words = document.body.dataset;
const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
let shown = null;       // the view on the page
let connection = null;
let watch = 0;
let held = 0;           // until when what was told stays, in milliseconds

// ---- the connection

function connect() {
  connection = new EventSource("events");
  connection.addEventListener("state", (event) => { held = 0; alive(); show(JSON.parse(event.data)); });
  connection.addEventListener("beat", alive);
  connection.addEventListener("over", () => lose(words.over));
  connection.addEventListener("error", () => lose(at("status").dataset.over ? words.over : words.lost));
  await_beat();
}

function alive() {
  if (performance.now() > held) tell(words.connected, false);
  await_beat();
}

function await_beat() {
  clearTimeout(watch);
  watch = setTimeout(() => lose(words.lost), SILENCE);
}

function lose(text) {
  connection.close();
  at("chart").dataset.of = "";  // after a new start it may be another pattern
  tell(text, true, text === words.over);
  clearTimeout(watch);
  watch = setTimeout(connect, AGAIN);
}

function tell(text, trouble, over = false) {
  const status = at("status");
  status.classList.toggle("trouble", trouble);
  status.dataset.over = over ? "yes" : "";
  if (status.textContent !== text) status.textContent = text;
}

async function ask(typed) {
  try {
    const answer = await fetch("requests", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ typed }),
      signal: AbortSignal.timeout(SILENCE),
    });
    if (!answer.ok) throw new Error(String(answer.status));
  } catch {
    held = performance.now() + SILENCE;
    tell(words.unsent, true, Boolean(at("status").dataset.over));  // never sent twice: a step could be taken twice
  }
}

// ---- showing

function show(view) {
  const before = shown;
  shown = view;
  const title = view.title || view.part || words.coach;
  at("title").textContent = title;
  document.title = [view.round_name, title].filter(Boolean).join(", ");
  show_where(view);
  show_words(view, before);
  show_counts(view);
  show_requests(view.requests);
  at("heard").hidden = !view.heard;
  at("heard-words").textContent = view.heard;
  show_chart(view);
}

function show_where(view) {
  const piece = view.make > 1 && view.part ? filled(words.piece, view) : "";
  const round = view.round_name && [view.round_name, filled(words.ofRounds, view)].join(" ");
  at("where").textContent = [view.part, piece, round].filter(Boolean).join(" · ");
}

// The instruction stands alone in very large type, with what was said around it smaller. An answer to another request
// stands below, so that each sentence is on the page once, and read out once.
function show_words(view, before) {
  const { said, instruction } = view;
  const place = instruction ? said.indexOf(instruction) : -1;
  const anew = !before || before.said !== said || before.instruction !== instruction || before.stitch !== view.stitch;
  const end = place + instruction.length;
  const now = place < 0 ? [["instruction", instruction || said]]
    : [["before", said.slice(0, place)], ["instruction", instruction], ["after", said.slice(end)]];
  const below = [place < 0 && instruction ? said : "", view.note];
  if (anew) replace("now", now.map(([kind, text]) => line(text, kind)));
  if (anew || before.note !== view.note) replace("answer", below.map((text) => line(text)));
}

function line(text, kind = "") {
  if (!text.trim()) return null;
  const one = document.createElement("p");
  one.className = text.length > LONG && kind === "instruction" ? "instruction long" : kind;
  one.textContent = text.trim();
  return one;
}

function replace(id, lines) {
  at(id).replaceChildren(...lines.filter(Boolean));
}

function show_counts(view) {
  at("counts").hidden = !view.of;
  for (const name of ["stitch", "of", "total"]) at(name).textContent = view[name];
}

// Buttons stay what they are as long as the requests are the same; where they change, the keyboard stays with its own.
function show_requests(requests) {
  const box = at("requests");
  if (box.dataset.made === JSON.stringify(requests)) return;
  box.dataset.made = JSON.stringify(requests);
  const held = box.contains(document.activeElement) ? document.activeElement.dataset.typed : null;
  box.replaceChildren(...requests.map(button));
  if (held !== null) (box.querySelector(`[data-typed="${CSS.escape(held)}"]`) ?? box.firstElementChild)?.focus();
}

function button({ label, typed, keys }, index) {
  const one = document.createElement("button");
  one.type = "button";
  one.dataset.typed = typed;
  one.append(label);
  if (index === 0 && keys.length) one.className = "first";
  const [key] = keys.filter((k) => k.length === 1 || k === "space");
  if (key) {
    const hint = document.createElement("kbd");
    hint.ariaHidden = "true";
    hint.textContent = key === "space" ? words.space : key;
    one.append(hint);
    one.setAttribute("aria-keyshortcuts", key === "space" ? "Space" : key.toUpperCase());
  }
  one.addEventListener("click", () => ask(typed));
  return one;
}

// ---- the chart

function show_chart(view) {
  const box = at("chart");
  at("drawing").hidden = view.chart === null;
  if (view.chart === null) return;
  const wanted = `${view.title} ${view.chart}`;
  if (box.dataset.of === wanted) return mark_place(view);
  box.dataset.of = wanted;
  box.replaceChildren();
  const asked = new XMLHttpRequest();  // parses the SVG without a string ever becoming markup here
  asked.open("GET", `chart/${view.chart}`);
  asked.responseType = "document";
  asked.overrideMimeType("image/svg+xml");
  asked.onloadend = () => {
    if (box.dataset.of !== wanted) return;  // another part is shown by now
    const svg = asked.status === 200 ? asked.responseXML?.documentElement : null;
    at("no-chart").hidden = Boolean(svg);
    box.hidden = !svg;
    if (!svg) return;
    box.replaceChildren(document.adoptNode(svg));
    svg.dataset.whole = svg.getAttribute("viewBox");
    mark_place(shown);
  };
  asked.send();
}

// What is still to come is grey; a disc lies behind the last stitch made, which at a round's start is the last of the
// round below.
function mark_place(view) {
  const svg = at("chart").querySelector("svg");
  const piece = svg?.querySelector(`.piece[data-part="${view.chart + 1}"]`);
  if (!piece || !view.place) return;
  let last = null;
  for (const mark of piece.querySelectorAll("[data-made]")) {
    const round = Number(mark.parentNode.dataset.round), made = Number(mark.dataset.made);
    const ahead = round > view.place.round || round === view.place.round && made > view.place.stitch;
    mark.classList.toggle("ahead", ahead);
    if (!ahead && made > 0 && (round !== last?.round || made !== last.made)) last = { mark, round, made };
  }
  svg.querySelector(".here")?.remove();
  const round = piece.querySelector(`[data-round="${view.place.round}"]`) ?? piece.querySelector("[data-round]");
  const figure = round.parentNode;
  if (last && figure.contains(last.mark)) {
    const box = last.mark.getBBox();
    const disc = document.createElementNS(SVG, "circle");
    disc.setAttribute("class", "here");
    disc.setAttribute("cx", box.x + box.width / 2);
    disc.setAttribute("cy", box.y + box.height / 2);
    disc.setAttribute("r", Math.max(box.width, box.height) / 2 + 7);
    figure.prepend(disc);
  }
  look_at(svg, figure);
}

// The figure that is worked, as large as it fits, or everything with the key to the symbols.
function look_at(svg, figure) {
  const whole = at("whole").checked;
  at("chart").classList.toggle("whole", whole);
  for (const other of [...svg.children, ...figure.parentNode.children]) {
    other.classList.toggle("elsewhere", !whole && !other.contains(figure));
  }
  if (whole) {
    svg.setAttribute("viewBox", svg.dataset.whole);
  } else {
    const box = figure.getBBox(), move = figure.transform.baseVal.consolidate()?.matrix ?? { e: 0, f: 0 };
    svg.setAttribute("viewBox", [box.x + move.e - 8, box.y + move.f - 8, box.width + 16, box.height + 16].join(" "));
  }
  const here = svg.querySelector(".here");
  if (whole && here) {
    const box = at("chart"), place = here.getBoundingClientRect(), frame = box.getBoundingClientRect();
    box.scrollTop += place.top - frame.top - frame.height / 2;
  }
}

at("whole").addEventListener("change", () => mark_place(shown));

// ---- asking by keyboard

at("typing").addEventListener("submit", (event) => {
  event.preventDefault();
  const typed = at("typed").value.trim();
  if (typed) ask(typed);
  at("typed").value = "";
});

at("typed").addEventListener("keydown", (event) => {
  if (event.key === "Escape") event.target.blur();
});

document.addEventListener("keydown", (event) => {
  if (!at("keys").checked || !shown || event.repeat || event.defaultPrevented) return;
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const on = event.target;
  if (on.matches("input[type=text]") || event.key === " " && on.matches("button, input")) return;
  if (event.key.startsWith("Arrow") && at("chart").contains(on)) return;
  const key = KEYS[event.key] ?? (event.key.length === 1 ? event.key.toLowerCase() : "");
  if (!(key in shown.keys)) return;
  event.preventDefault();
  ask(shown.keys[key]);
});

// ---- the screen stays on while the page is looked at, where the browser lets it

async function stay_awake() {
  try {
    if (document.visibilityState === "visible") await navigator.wakeLock?.request("screen");
  } catch { /* it sleeps as it is used to */ }
}
document.addEventListener("visibilitychange", stay_awake);
stay_awake();
connect();
