"use strict";
// The spec as a form, in the section "live" of the review page. The text is the truth: a field changes the
// text on the server, and all that is shown comes from what the server says of that text.
(() => {
  const ROOT = document.getElementById("live");
  const KEY = new URLSearchParams(location.search).get("key") || "";
  const PAGE = Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => n.toString(36)).join("");
  const DRAFT = "planewright draft";
  const TYPING_MS = 60;

  const state = {
    text: "", saved: "", digest: "", file: "", look: null,
    pending: new Map(), refused: {}, asking: false, typed: null, timer: 0,
    wanted: null, modelling: "", withFixtures: false, turn: 0, view: "form", making: false,
  };
  const parts = {};
  const fields = new Map();
  const { make, post } = liveTools(KEY);
  const { buildForm, fillField, sayGroup } = liveForm(make, state, parts, fields, { send, later });

  // ---- The parts that stand still -------------------------------------------------------------------

  function build() {
    parts.verdict = make("p", { class: "verdict", id: "live-verdict", role: "status" });
    parts.trouble = make("ol", { class: "live-trouble", id: "live-faults", "aria-label": "Faults" });
    parts.save = make("button", { type: "button", id: "live-save", onclick: save }, "Save");
    parts.make = make("button", { type: "button", id: "live-make", onclick: () => makeFiles(false) },
      "Make the files");
    parts.saved = make("span", { class: "quiet", id: "live-saved" });
    parts.told = make("div", { class: "told", id: "live-told", role: "status" });
    parts.form = make("form", { id: "live-form", autocomplete: "off", novalidate: "",
      onsubmit: (event) => { event.preventDefault(); send(); } });
    parts.text = make("textarea", { id: "live-text", spellcheck: "false", wrap: "off", rows: "24",
      autocapitalize: "off", "aria-label": "Text of the spec", oninput: typing });
    parts.textual = make("div", { hidden: true },
      make("p", { class: "quiet" }, "The file as it is written. Comments and layout stay as they are."),
      parts.text);
    parts.asForm = make("button", { type: "button", "aria-pressed": "true", onclick: () => show("form") }, "Form");
    parts.asText = make("button", { type: "button", id: "live-as-text", "aria-pressed": "false",
      onclick: () => show("text") }, "Text");
    parts.fixtures = make("input", { type: "checkbox", id: "live-fixtures", onchange: fixturesChosen });
    parts.files = make("div", { id: "live-files", class: "files" });
    parts.file = make("span", { class: "file" });
    ROOT.replaceChildren(
      make("h2", {}, "Spec ", parts.file),
      make("div", { class: "standing" },
        make("div", { class: "deeds" }, parts.save, parts.make, parts.saved), parts.verdict),
      parts.trouble, parts.told, parts.files,
      make("div", { class: "deeds" },
        make("div", { class: "either", role: "group", "aria-label": "How the spec is shown" },
          parts.asForm, parts.asText),
        make("label", { class: "tick" }, parts.fixtures, " Model the fixtures too")),
      parts.form, parts.textual,
    );
  }

  function show(view) {
    state.view = view;
    parts.form.hidden = view !== "form";
    parts.textual.hidden = view !== "text";
    parts.asForm.setAttribute("aria-pressed", String(view === "form"));
    parts.asText.setAttribute("aria-pressed", String(view === "text"));
    if (view === "text") parts.text.value = state.text;
  }

  // ---- From a change to what follows from it --------------------------------------------------------

  const unsent = () => state.pending.size > 0 || state.typed !== null;

  // Say what is under way, in the attribute "data-state": "settled" only when nothing is.
  function sayPhase() {
    const sound = state.look && state.look.report;
    ROOT.dataset.state = state.asking ? "looking" : unsent() ? "typed" : sound ? state.modelling || "settled" : "faulty";
  }

  function later() {
    clearTimeout(state.timer);
    state.timer = setTimeout(send, TYPING_MS);
    sayPhase();
  }

  function typing() {
    state.typed = parts.text.value;
    later();
  }

  async function send() {
    clearTimeout(state.timer);
    if (state.asking || !unsent()) return;
    state.asking = true;
    const set = Object.fromEntries(state.pending);
    const text = state.typed === null ? state.text : state.typed;
    state.pending.clear();
    state.typed = null;
    sayPhase();
    const reply = await post("/look", { text, set });
    state.asking = false;
    if (reply.ok) adopt(reply);
    else tell(reply.error, true);
    if (unsent()) send();
    else sayPhase();
  }

  function adopt(reply) {
    state.text = reply.text;
    state.look = reply;
    state.refused = reply.refused || {};
    const signs = reply.fields.map((row) => `${row.key} ${row.choices.length} ${row.measure}`).join();
    if (signs !== state.signs) {
      state.signs = signs;
      const held = document.activeElement && document.activeElement.id;
      buildForm(reply.fields);
      if (held && held.startsWith("live-")) document.getElementById(held)?.focus();
    }
    const byKey = Map.groupBy ? Map.groupBy(reply.faults, (one) => one.key) : grouped(reply.faults);
    for (const row of reply.fields) fillField(row, byKey.get(row.key) || []);
    for (const group of parts.form.children) sayGroup(group, reply.fields, byKey);
    if (document.activeElement !== parts.text) parts.text.value = state.text;
    judge(reply);
    sayState();
    // The page's own words follow at once; its picture follows when the solids are there.
    if (reply.words && window.planewright?.state.model) {
      planewright.write(Object.assign(planewright.state.model, reply.words));
    }
    if (reply.report) askModel();
    else Object.assign(state, { turn: state.turn + 1, wanted: null, modelling: "" });
  }

  function grouped(faults) {
    const found = new Map();
    for (const one of faults) found.set(one.key, [...(found.get(one.key) || []), one]);
    return found;
  }

  function judge(reply) {
    const faults = reply.faults;
    parts.trouble.replaceChildren(...faults.map((one) => {
      const place = one.line ? `Line ${one.line}` : "The file";
      const key = one.key ? `, ${one.key}` : "";
      return make("li", {}, make("button", { type: "button", onclick: () => goTo(one) },
        `${place}${key}: ${one.problem}`), make("p", {}, `${one.cure}.`));
    }));
    parts.trouble.hidden = faults.length === 0;
    if (faults.length) {
      parts.verdict.className = "verdict fail";
      parts.verdict.textContent = faults.length === 1
        ? "One thing to put right in the spec; the plane below is the last one without faults."
        : `${faults.length} things to put right in the spec; the plane below is the last one without faults.`;
      return;
    }
    const checks = reply.report.checks;
    const count = (level) => checks.filter((one) => !one.holds && one.level === level).length;
    const [fails, warns] = [count("fail"), count("warn")];
    const held = checks.filter((one) => one.holds).length;
    parts.verdict.className = `verdict ${fails ? "fail" : warns ? "warn" : "good"}`;
    parts.verdict.textContent = [
      fails ? `${fails} ${fails > 1 ? "checks fail" : "check fails"}` : "No check fails",
      warns ? `${warns} warning${warns > 1 ? "s" : ""}` : null, `${held} of ${checks.length} hold`,
    ].filter(Boolean).join(", ") + ".";
  }

  function goTo(fault) {
    const field = fields.get(fault.key);
    if (field) {
      show("form");
      field.group.open = true;
      field.entry.focus();
      return;
    }
    show("text");
    const lines = state.text.split("\n");
    const line = Math.max(fault.line, 1) - 1;
    const start = lines.slice(0, line).reduce((sum, one) => sum + one.length + 1, 0);
    parts.text.focus();
    parts.text.setSelectionRange(start, start + (lines[line] || "").length);
  }

  // ---- The model ------------------------------------------------------------------------------------

  async function askModel(again = false) {
    if (!again && state.wanted === state.text) return;
    state.wanted = state.text;
    state.turn += 1;
    const turn = state.turn;
    nowModelling("modelling");
    if (!(await showModel(turn, false))) return;
    if (state.withFixtures) {
      nowModelling("fixtures");
      if (!(await showModel(turn, true))) return;
    }
    nowModelling("");
  }

  function nowModelling(what) {
    state.modelling = what;
    sayPhase();
  }

  async function showModel(turn, withFixtures) {
    const reply = await post("/model", { text: state.wanted, page: PAGE, fixtures: withFixtures });
    if (turn !== state.turn || reply.superseded) return false;
    if (!reply.ok) {
      nowModelling("failed");
      tell(reply.error, true);
      return false;
    }
    if (!window.planewright) {
      sessionStorage.setItem(DRAFT, JSON.stringify({ text: state.text, digest: state.digest }));
      removeEventListener("beforeunload", warn);
      location.reload();
      return false;
    }
    const { ok, code, ...model } = reply;
    await window.planewright.update(model);
    return turn === state.turn;
  }

  function fixturesChosen() {
    state.withFixtures = parts.fixtures.checked;
    if (state.look && state.look.report) askModel(true);
  }

  // ---- Saving, making, fetching ---------------------------------------------------------------------

  function sayState() {
    const changed = state.text !== state.saved;
    parts.saved.textContent = state.making ? "" : changed ? "Not saved" : "Saved";
    const sound = state.look && state.look.report;
    parts.save.disabled = !changed || !sound;
    parts.make.disabled = !sound || state.making;
    parts.file.textContent = state.file;
  }

  function tell(words, wrong = false, ...more) {
    parts.told.classList.toggle("fault", wrong);
    parts.told.replaceChildren(...(words ? [make(words.includes("\n") ? "pre" : "p", {}, words), ...more] : []));
  }

  async function save() {
    const text = state.text;
    const reply = await post("/save", { text, base: state.digest });
    if (!reply.ok) {
      const drop = make("button", { type: "button", onclick: () => read(null) },
        "Read the file again and drop the changes made here");
      tell(reply.error, true, ...(reply.changed ? [drop] : []));
      return false;
    }
    state.digest = reply.digest;
    state.saved = text;
    tell("");
    sayState();
    showFiles(await fetchFiles());
    return true;
  }

  async function makeFiles(anyway) {
    if (state.making || (state.text !== state.saved && !(await save()))) return;
    state.making = true;
    sayState();
    const began = performance.now();
    const clock = () => tell(`Making the files: ${Math.round((performance.now() - began) / 1000)} s`);
    clock();
    const ticking = setInterval(clock, 1000);
    const reply = await post("/make", { base: state.digest, anyway });
    clearInterval(ticking);
    state.making = false;
    sayState();
    if (!reply.ok) return tell(reply.error, true);
    const failed = reply.status !== 0;
    const again = make("button", { type: "button", onclick: () => makeFiles(true) }, "Make them all the same");
    tell(reply.words || "Made.", failed, ...(reply.status === 1 && !anyway ? [again] : []));
    showFiles(reply);
  }

  async function fetchFiles() {
    const reply = await fetch(`/files?key=${encodeURIComponent(KEY)}`).catch(() => null);
    return reply && reply.ok ? reply.json() : { files: [] };
  }

  function showFiles(made) {
    const rows = made.files || [];
    if (!rows.length) return parts.files.replaceChildren();
    const key = encodeURIComponent(KEY);
    const size = (bytes) => bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
    const total = rows.reduce((sum, row) => sum + row.size, 0);
    parts.files.replaceChildren(
      make("p", {}, make("a", { href: `/zip?key=${key}`, download: "", id: "live-zip" },
        `All ${rows.length} files of ${made.name}`), ` as one archive; ${size(total)} unpacked`),
      make("details", { "data-group": "live files" }, make("summary", {}, "Single files"), make("ul", {}, ...rows.map((row) =>
        make("li", {}, make("a", { href: `/file?key=${key}&path=${encodeURIComponent(row.path)}`, download: "" },
          row.path), ` ${size(row.size)}`)))),
    );
  }

  // ---- Beginning ------------------------------------------------------------------------------------

  function warn(event) {
    if (state.text !== state.saved) event.preventDefault();
  }

  async function read(draft) {
    const reply = await post("/read", {});
    if (!reply.ok) return tell(reply.error, true);
    [state.saved, state.digest, state.file] = [reply.text, reply.digest, reply.file];
    state.pending.clear();
    state.refused = {};
    tell("");
    document.activeElement?.blur();
    // The page may have come with the model of this very text.
    if (window.planewright && !state.look && planewright.state.model.text === reply.text) state.wanted = reply.text;
    adopt(reply);
    sayPhase();
    if (draft) {
      state.digest = draft.digest;
      state.typed = draft.text;
      send();
    }
    showFiles(await fetchFiles());
  }

  function draftKept() {
    const kept = sessionStorage.getItem(DRAFT);
    sessionStorage.removeItem(DRAFT);
    return kept ? JSON.parse(kept) : null;
  }

  build();
  document.querySelector("nav")?.prepend(make("a", { href: "#live" }, "Spec"));
  addEventListener("beforeunload", warn);
  read(draftKept());
})();
