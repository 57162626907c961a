// The handles of the picture: what is shown, the cut, how far apart, turns and zoom, units and light.
(function (pw) {
  const byId = (id) => document.getElementById(id);
  const INCH = 25.4;

  // A length in mm or in inches to 1/64, with what is left over in mm left out: the cut is only looked at.
  pw.length = function (mm, unit) {
    if (unit === "mm") return `${mm.toFixed(1)} mm`;
    const parts = Math.round((Math.abs(mm) / INCH) * 64);
    const whole = Math.floor(parts / 64);
    let [top, bottom] = [parts % 64, 64];
    while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
    const words = [whole || !top ? whole : "", top ? `${top}/${bottom}` : ""].filter((word) => word !== "");
    return `${mm < 0 && parts ? "\u2212" : ""}${words.join(" ")} in`;
  };

  pw.parts = function (view, isHidden, changed) {
    byId("parts").replaceChildren(...view.items.map((item) => {
      const box = pw.make("input", { type: "checkbox", "data-part": item.name });
      box.checked = !isHidden(item.name);
      box.addEventListener("change", () => changed(item, box.checked));
      const swatch = pw.make("span", { class: "swatch", "aria-hidden": "true" });
      swatch.style.background = item.tone;
      return pw.make("li", {}, pw.make("label", {}, box, swatch, item.label));
    }));
  };

  pw.choices = function (model) {
    const groups = [["The making", "stage"], ["The plane", "plane"], ["Fixtures on their work", "fixture"]];
    byId("views").replaceChildren(...groups.map(([title, kind]) =>
      pw.make("optgroup", { label: title }, ...model.views.filter((view) => view.kind === kind)
        .map((view) => pw.make("option", { value: view.id }, view.title)))));
  };

  const AXES = { x: "across", y: "along", z: "level" };

  pw.sayCut = function (cut, unit) {
    byId("cut-at").disabled = byId("cut-turn").disabled = !cut.axis;
    byId("cut-turn").setAttribute("aria-pressed", String(cut.turned));
    byId("cut-said").textContent = cut.axis ? `${cut.axis} = ${pw.length(cut.at, unit)}` : "";
    byId("cut-at").setAttribute("aria-valuetext", cut.axis ? `${AXES[cut.axis]}, at ${pw.length(cut.at, unit)}` : "no cut");
  };

  // Connect every handle to `acts`, by name.
  pw.connect = function (acts) {
    const on = (id, name, act) => byId(id).addEventListener(name, act);
    on("views", "change", () => acts.look(byId("views").value));
    on("before", "click", () => acts.step(-1));
    on("after", "click", () => acts.step(1));
    on("cut", "change", (event) => acts.cutAlong(event.target.value));
    on("cut-at", "input", () => acts.cutAt(byId("cut-at").value / 1000));
    on("cut-turn", "click", () => acts.cutTurn());
    on("apart", "input", () => acts.apart(byId("apart").value / 100));
    on("units", "change", (event) => acts.unit(event.target.value));
    on("light", "click", () => acts.dark(document.documentElement.dataset.light !== "dark"));
    on("print", "click", () => window.print());
    for (const button of document.querySelectorAll("[data-turn]")) {
      button.addEventListener("click", () => acts.turn(button.dataset.turn));
    }
    for (const button of document.querySelectorAll("[data-zoom]")) {
      button.addEventListener("click", () => acts.zoom(Number(button.dataset.zoom)));
    }
  };

  pw.dark = function (dark) {
    document.documentElement.dataset.light = dark ? "dark" : "bright";
    byId("light").textContent = dark ? "Light" : "Dark";
    byId("light").setAttribute("aria-label", dark ? "Light page" : "Dark page");
  };

  // On paper everything lies open and the picture is a still one.
  pw.forPaper = function (taken) {
    let closed = [];
    const printed = byId("printed");
    window.addEventListener("beforeprint", () => {
      closed = [...document.querySelectorAll(".sheet details:not([open])")];
      closed.forEach((box) => (box.open = true));
      const picture = taken();
      printed.hidden = !picture;
      if (picture) printed.src = picture;
      printed.alt = byId("canvas").getAttribute("aria-label");
    });
    window.addEventListener("afterprint", () => {
      closed.forEach((box) => (box.open = false));
      printed.hidden = true;
    });
  };
})(planewright);
