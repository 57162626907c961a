"use strict";
// The fields of the form: one for each key, grouped by table, filled from what the server says of the text.
const liveForm = (make, state, parts, fields, { send, later }) => {
  function title(table) {
    const words = (table || "plane").replace(/^shop\./, "").replaceAll("_", " ");
    return words.charAt(0).toUpperCase() + words.slice(1);
  }

  function buildForm(rows) {
    const given = new Set(rows.filter((row) => row.written !== "").map((row) => row.table));
    const open = new Map(Array.from(parts.form.children, (one) => [one.dataset.table, one.open]));
    fields.clear();
    const groups = new Map();
    for (const row of rows) {
      if (!groups.has(row.table)) {
        const said = make("span", { class: "quiet" });
        const group = make("details", { "data-table": row.table, "data-group": `live ${row.table}` }, make("summary", {}, title(row.table), " ", said));
        const first = row.table === "" || row.table === "sole" || (given.has(row.table) && !row.table.startsWith("shop"));
        group.open = open.has(row.table) ? open.get(row.table) : first;
        group.said = said;
        groups.set(row.table, group);
      }
      groups.get(row.table).append(buildField(row, groups.get(row.table)));
    }
    parts.form.replaceChildren(...groups.values());
  }

  function buildField(row, group) {
    const id = `live-${row.key.replaceAll(".", "-")}`;
    const change = () => { state.pending.set(row.key, entry.value); send(); };
    const input = () => { state.pending.set(row.key, entry.value); later(); };
    const about = { id, name: row.key, "aria-describedby": `${id}-fault ${id}-about`,
      "aria-required": row.required ? "true" : null };
    const entry = row.choices.length
      ? make("select", { ...about, onchange: change },
        make("option", { value: "" }, ""), ...row.choices.map((one) => make("option", { value: one }, one)))
      : make("input", { ...about, type: "text", autocapitalize: "off", spellcheck: "false",
        oninput: input, onchange: change });
    const out = row.optional ? ["Take it out", `Take ${row.name} out`] : ["Have it worked out", `Have ${row.name} worked out`];
    const clear = row.required ? null : make("button", {
      type: "button", class: "clear", title: out[0], "aria-label": out[1],
      onclick: () => { entry.value = ""; change(); entry.focus(); } }, "×");
    const fault = make("p", { class: "fault", id: `${id}-fault`, hidden: true });
    const words = make("p", { class: "quiet", id: `${id}-about` });
    const name = row.name.replaceAll("_", " ");
    const node = make("div", { class: "field", "data-key": row.key },
      make("label", { for: id }, name.charAt(0).toUpperCase() + name.slice(1)),
      make("div", { class: "entry" }, entry,
        row.measure ? make("span", { class: "measure", "aria-hidden": "true" }, row.measure) : null, clear),
      fault, words);
    fields.set(row.key, { node, entry, fault, words, clear, group, reason: "", worked: "" });
    return node;
  }

  function fillField(row, faults) {
    const field = fields.get(row.key);
    const given = row.written !== "";
    const busy = state.pending.has(row.key) || row.key in state.refused;
    const away = document.activeElement !== field.entry;
    if (!busy && (away || field.entry.tagName === "SELECT") && field.entry.value !== row.written) {
      if (field.entry.tagName === "SELECT" && given && !row.choices.includes(row.written)) {
        field.entry.append(make("option", { value: row.written }, row.written));
      }
      field.entry.value = row.written;
    }
    if (row.worked !== undefined) [field.worked, field.reason] = [row.worked, row.reason];
    const worked = !given && !row.required && field.worked;
    const shown = worked ? field.worked : "";
    if (field.entry.tagName === "SELECT") {
      field.entry.options[0].textContent = shown ? `worked out: ${shown}` : "";
    } else field.entry.placeholder = shown;
    const why = worked ? ` Worked out: ${field.reason}.` : "";
    const range = row.allowed ? ` Allowed ${row.allowed}.` : "";
    field.words.textContent = `${row.about.charAt(0).toUpperCase()}${row.about.slice(1)}.${given || !worked ? range : why}`;
    field.node.classList.toggle("given", given);
    if (field.clear) field.clear.hidden = !given;
    const wrong = state.refused[row.key] ? [state.refused[row.key]] : faults.map((one) => sentence(one));
    field.fault.hidden = wrong.length === 0;
    field.fault.textContent = wrong.join(" ");
    if (wrong.length) field.entry.setAttribute("aria-invalid", "true");
    else field.entry.removeAttribute("aria-invalid");
  }

  function sentence(fault) {
    const problem = fault.problem.charAt(0).toUpperCase() + fault.problem.slice(1);
    return `${problem}. ${fault.cure}.`;
  }

  function sayGroup(group, rows, byKey) {
    const own = rows.filter((row) => row.table === group.dataset.table);
    const given = own.filter((row) => row.written !== "").length;
    const wrong = own.filter((row) => byKey.has(row.key) || row.key in state.refused).length;
    group.said.textContent = wrong ? `${wrong} at fault` : given ? `${given} given` : own.every((row) => row.optional) ? "none given" : "all worked out";
    group.classList.toggle("wrong", wrong > 0);
    if (wrong) group.open = true;
  }

  return { buildForm, fillField, sayGroup };
};
