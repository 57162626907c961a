// The page as text: checks, stages, fixtures and dimensions, in headings, lists and tables.
(function (pw) {
  const byId = (id) => document.getElementById(id);
  const LEVELS = { fail: "Fails", warn: "Warning", note: "Note" };

  // Returns an element with attributes and children; a child that is text is put in as text.
  const make = (pw.make = function (tag, given = {}, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(given)) element.setAttribute(name, value);
    element.append(...children.filter((child) => child !== ""));
    return element;
  });

  // Returns an element that holds a length in the unit in use: `shown` has its words in each unit.
  const amount = (tag, shown, given = {}) =>
    make(tag, { ...given, "data-mm": shown.mm, "data-in": shown.in }, shown[pw.state.unit]);

  pw.inUnit = function (unit) {
    for (const element of document.querySelectorAll("[data-mm]")) element.textContent = element.dataset[unit];
  };

  function pointing(label, place, key) {
    if (!place) return make("span", {}, label);
    const button = make("button", { type: "button", class: "to-place", "aria-pressed": "false", "data-key": key }, label);
    button.addEventListener("click", () => pw.goTo(place, key));
    return button;
  }

  function trouble(check) {
    const { shown } = check;
    const level = make("span", { class: `level ${check.level}` }, LEVELS[check.level]);
    const value = make("p", { class: "value" }, amount("strong", pick(shown, "value")), ` where ${check.bound} `,
      amount("span", pick(shown, "limit")), " is wanted");
    return make("li", { id: `check-${check.id}`, class: check.level, tabindex: "-1" },
      make("h3", {}, level, pointing(check.label, check.place, check.id)), value,
      make("p", {}, sentence(check.why)), make("p", { class: "cure" }, make("b", {}, "Cure: "), sentence(check.cure)),
      make("p", { class: "quiet" }, `Limit: ${check.source}`));
  }

  const pick = (shown, part) => ({ mm: shown.mm[part], in: shown.in[part] });
  const sentence = (words) => words.charAt(0).toUpperCase() + words.slice(1) + (/[.!?]$/.test(words) ? "" : ".");
  const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;

  function checks(model) {
    const open = model.checks.filter((check) => !check.holds);
    const held = model.checks.filter((check) => check.holds);
    const of = (level) => open.filter((check) => check.level === level).length;
    const told = [of("fail") ? count(of("fail"), "fails", "fail") : "",
      of("warn") ? count(of("warn"), "warning", "warnings") : "", of("note") ? count(of("note"), "note", "notes") : ""];
    byId("checks-said").textContent = open.length
      ? `${told.filter(Boolean).join(", ")}; ${held.length} of ${model.checks.length} hold.`
      : `All ${model.checks.length} checks hold.`;
    byId("checks").dataset.worst = open.length ? open[0].level : "sound";
    byId("trouble").replaceChildren(...open.map(trouble));
    byId("sound-said").textContent = `${held.length} that hold`;
    byId("held").replaceChildren(...held.map((check) =>
      make("tr", {}, make("th", { scope: "row" }, pointing(check.label, check.place, check.id)),
        amount("td", pick(check.shown, "value")),
        make("td", {}, `${check.bound} `, amount("span", pick(check.shown, "limit"))))));
  }

  function showing(label, view) {
    const button = make("button", { type: "button", "data-view": view, "aria-pressed": "false" }, label);
    button.addEventListener("click", () => pw.look(button.getAttribute("aria-pressed") === "true" ? "plane" : view));
    return button;
  }

  function stages(model) {
    const found = model.views.filter((view) => view.kind === "stage");
    const last = model.views.filter((view) => view.kind === "plane");
    byId("stages").replaceChildren(...[...found, ...last].map((view) =>
      make("li", {}, showing(view.title, view.id), make("p", {}, view.words))));
  }

  function points(title, lines, kind) {
    if (!lines.length) return "";
    return make("div", { class: kind }, make("h4", {}, title), make("ul", {}, ...lines.map((line) => make("li", {}, line))));
  }

  function fixture(one, model) {
    const views = one.views.map((id) => model.views.find((view) => view.id === id));
    const label = (view) => (views.length > 1 ? view.set_up : "Show on its work");
    const pieces = one.pieces.map((piece) => `${piece.name}, ${piece.made}`);
    return make("article", { "aria-label": one.title }, make("h3", {}, one.title), make("p", {}, `Used on the ${one.work}.`),
      make("div", { class: "set-ups", role: "group", "aria-label": `${one.title} in the picture` },
        ...views.map((view) => showing(label(view), view.id))),
      make("details", {}, make("summary", {}, "How it is made and used",
        make("span", { class: "unseen" }, `: ${one.title}`)),
        points("Take care", one.cautions, "care"), points("Pieces", pieces, "pieces"), points("Notes", one.notes, "notes")));
  }

  function fixtures(model) {
    const none = model.declined.map((one) => `${one.name}: ${one.reason}`);
    byId("fixtures-said").textContent = model.fixtures.length
      ? "Hidden at first. Show one and it lies on its work in the picture; press again to put it away."
      : "None were built.";
    byId("jigs").replaceChildren(...model.fixtures.map((one) => fixture(one, model)),
      points("Not for this plane", none, "notes"));
  }

  function dimensions(model) {
    const row = (one) => make("tr", {},
      make("th", { scope: "row" }, pointing(one.label, one.place, one.key),
        make("span", { class: one.given ? "why short" : "why" }, one.given ? make("span", { class: "given-key" }, "given in the spec") : one.reason)),
      amount("td", one.shown, { id: `dimension-${one.key}` }));
    byId("groups").replaceChildren(...model.dimensions.map((group) => {
      const table = make("table", {}, make("caption", { class: "unseen" }, `Dimensions: ${group.title}`),
        make("thead", { class: "unseen" }, make("tr", {}, make("th", { scope: "col" }, "Dimension"),
          make("th", { scope: "col" }, "Value"))), make("tbody", {}, ...group.rows.map(row)));
      const box = make("details", { "data-group": group.key }, make("summary", {}, make("h3", {}, group.title)),
        make("div", { class: "wide" }, table));
      box.open = group.open;
      return box;
    }));
  }

  // Mark the buttons of what is shown and pointed at.
  pw.press = function () {
    const { view, place, key: chosen } = pw.state;
    for (const button of document.querySelectorAll("[data-view]")) {
      button.setAttribute("aria-pressed", String(button.dataset.view === view));
    }
    for (const button of document.querySelectorAll(".to-place")) {
      button.setAttribute("aria-pressed", String(Boolean(place) && button.dataset.key === chosen));
    }
  };

  // Write the page anew for a model, what lay open staying open.
  pw.write = function (model) {
    const key = (box) => box.dataset.group || box.parentElement.getAttribute("aria-label") || box.id;
    const all = () => [...document.querySelectorAll(".sheet details")];
    const open = new Map(all().map((box) => [key(box), box.open]));
    document.title = `${model.name}: review`;
    byId("name").textContent = model.name;
    byId("lede").replaceChildren(amount("span", model.lede));
    for (const part of [checks, stages, fixtures, dimensions]) part(model);
    for (const box of all()) if (open.has(key(box))) box.open = open.get(key(box));
    pw.press();
  };

  // Bring the reader to a check.
  pw.read = function (id) {
    const entry = byId(`check-${id}`);
    entry.scrollIntoView({ block: "center" });
    entry.focus({ preventScroll: true });
    const check = pw.state.model.checks.find((one) => one.id === id);
    pw.goTo(check.place, id);
  };
})(planewright);
