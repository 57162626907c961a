// What points into the picture: the place of a dimension or check, and marks where checks do not hold.
(function (pw) {
  const holder = document.getElementById("pointer");
  const marks = document.getElementById("marks");
  let shown = null;

  // Point at `at` (mm, on the named solid) with words; null points at nothing.
  pw.point = function (place) {
    shown = place;
    holder.hidden = !place;
    if (place) holder.firstElementChild.textContent = place.words[0].toUpperCase() + place.words.slice(1);
  };

  // Mark the places of checks that do not hold, those in one place together.
  pw.mark = function (model, view) {
    const byPlace = new Map();
    for (const check of model.checks) {
      if (check.holds || check.level === "note" || model.places[check.place].view !== view) continue;
      byPlace.set(check.place, [...(byPlace.get(check.place) || []), check]);
    }
    marks.replaceChildren();
    for (const [name, checks] of byPlace) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = `mark ${checks[0].level}`;
      button.textContent = "!";
      button.setAttribute("aria-label", `${checks.map((check) => check.label).join(", ")}: read the check`);
      button.addEventListener("click", () => pw.read(checks[0].id));
      button.place = model.places[name];
      marks.append(button);
    }
  };

  const lay = (element, [x, y]) => (element.style.transform = `translate(${x}px, ${y}px)`);

  // Keep all of them over their places.
  pw.follow = function (bench) {
    if (shown) {
      const at = bench.seen(shown.at, shown.solids[0]);
      const room = holder.firstElementChild.offsetWidth + 44;
      const fits = at[0] + room < bench.holder.clientWidth;
      holder.classList.toggle("left", !fits && at[0] > bench.holder.clientWidth / 2);
      lay(holder, at);
    }
    for (const mark of marks.children) lay(mark, bench.seen(mark.place.at, mark.place.solids[0]));
  };
})(planewright);
