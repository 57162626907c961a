// What is looked at, and how: the state of the page, and its one way in for another model.
(function (pw) {
  const byId = (id) => document.getElementById(id);
  const state = (pw.state = {
    model: null, view: "plane", unit: "mm", share: 0, hidden: new Map(), place: "", key: "",
    cut: { axis: "", at: 0, turned: false },
  });
  let bench = null;
  let ready = false; // once there is something to look at
  let asked = 0; // how many models were given

  const view = () => state.model.views.find((one) => one.id === state.view);
  const say = (words) => (byId("said").textContent = words);

  function isHidden(name) {
    const set = state.hidden.get(state.view);
    if (set && set.has(name)) return set.get(name);
    return Boolean(view().items.find((item) => item.name === name).hidden);
  }

  function describe() {
    const seen = view().items.filter((item) => !isHidden(item.name)).map((item) => item.label.toLowerCase());
    const cut = state.cut.axis ? `, cut open at ${byId("cut-said").textContent}` : "";
    const apart = state.share ? `, ${Math.round(100 * state.share)} % apart` : "";
    byId("canvas").setAttribute("aria-label", `${view().title}: ${seen.join(", ") || "nothing shown"}${cut}${apart}`);
  }

  // Show the view in `state`; the eye is set anew unless it is to be kept.
  function lay(keepEye) {
    const now = view();
    byId("view-title").textContent = now.title;
    byId("view-words").textContent = now.words;
    byId("views").value = now.id;
    const ids = [...byId("views").options].map((option) => option.value);
    byId("before").disabled = ids[0] === now.id;
    byId("after").disabled = ids[ids.length - 1] === now.id;
    pw.press();
    pw.parts(now, isHidden, (item, shown) => {
      const set = state.hidden.get(state.view) || new Map();
      state.hidden.set(state.view, set.set(item.name, !shown));
      if (bench) bench.hide(isHidden);
      say(`${item.label} ${shown ? "shown" : "hidden"}`);
      describe();
    });
    if (bench) {
      bench.show(now, isHidden);
      if (!keepEye) face(now.eye, now.up);
      cut();
      pw.mark(state.model, now.id);
      point();
    }
    describe();
  }

  function face(eye, up) {
    bench.orbit.stand(eye, up);
    bench.orbit.fit((matrix) => bench.reach(matrix));
  }

  const whole = () => {
    const box = bench.box();
    const { axis } = state.cut;
    return [box.min[axis], box.max[axis]];
  };

  function cut() {
    const { axis, turned } = state.cut;
    if (axis && bench) {
      const [low, high] = whole();
      state.cut.at = Math.max(low, Math.min(high, state.cut.at));
      byId("cut-at").value = Math.round(((state.cut.at - low) / (high - low)) * 1000);
    }
    if (bench) bench.cut(axis, state.cut.at, turned);
    pw.sayCut(state.cut, state.unit);
  }

  function point() {
    const place = state.place ? state.model.places[state.place] : null;
    const here = place && place.view === state.view ? place : null;
    pw.point(here);
    if (bench) bench.bring(here ? here.solids : null);
    pw.press();
  }

  pw.look = function (id) {
    if (!ready) return;
    state.view = id;
    state.place = "";
    lay(false);
    say(`${view().title} shown. ${view().words}`);
  };

  // Point at the place of a dimension or check; asked for it again, let go of it.
  pw.goTo = function (name, key) {
    if (!ready) return;
    const place = state.model.places[name];
    const again = state.key === key && state.place === name;
    Object.assign(state, again ? { place: "", key: "" } : { place: name, key });
    if (!again && state.view !== place.view) {
      state.view = place.view;
      lay(false);
    }
    if (!again && bench) {
      const below = bench.orbit.away().z < -0.1;
      const { eye, up } = view();
      if (place.below !== below) bench.orbit.stand(place.below ? [eye[0], eye[1], -0.55] : eye, up);
    }
    point();
    say(again ? "" : `In the picture: ${place.words}`);
  };

  // The open side is nearest the reader from above and from below, so that the plane lies across the window.
  const TURNS = {
    side: [0, -1, 0], back: [0, 1, 0], toe: [-1, 0, 0], top: [0, -1e-4, 1], sole: [0, -1e-4, -1],
  };

  const acts = {
    look: pw.look,
    step(by) {
      const ids = [...byId("views").options].map((option) => option.value);
      pw.look(ids[ids.indexOf(state.view) + by]);
    },
    cutAlong(axis) {
      Object.assign(state.cut, { axis, turned: false });
      const { mouth } = state.model.places;
      if (axis && bench) state.cut.at = axis === "z" ? (whole()[0] + whole()[1]) / 2 : mouth.at["xyz".indexOf(axis)];
      cut();
      describe();
    },
    cutAt(share) {
      const [low, high] = whole();
      state.cut.at = low + share * (high - low);
      bench.cut(state.cut.axis, state.cut.at, state.cut.turned);
      pw.sayCut(state.cut, state.unit);
      describe();
    },
    cutTurn() {
      state.cut.turned = !state.cut.turned;
      cut();
    },
    apart(share) {
      state.share = share;
      byId("apart-said").textContent = `${Math.round(100 * share)} %`;
      if (bench) bench.apart(share);
      if (bench) bench.orbit.fit((matrix) => bench.reach(matrix));
      describe();
    },
    unit(unit) {
      state.unit = unit;
      pw.inUnit(unit);
      pw.againPrograms();
      pw.sayCut(state.cut, unit);
      describe();
    },
    dark: pw.dark,
    turn(name) {
      const { eye, up } = view();
      const side = state.model.hand === "left" ? -1 : 1; // of a left-hand plane the open side is the other one
      const way = TURNS[name];
      if (name === "first") face(eye, up);
      else face([way[0], side * way[1], way[2]], [0, 0, 1]);
      say("Picture turned");
    },
    zoom: (factor) => bench.orbit.zoom(factor),
  };

  function picking(holder) {
    let from = null;
    holder.addEventListener("pointerdown", (event) => (from = event.target.closest("button") ? null : [event.clientX, event.clientY]));
    holder.addEventListener("pointerup", (event) => {
      if (!from || !bench || Math.hypot(event.clientX - from[0], event.clientY - from[1]) > 5) return;
      const box = holder.getBoundingClientRect();
      const hit = bench.pick(event.clientX - box.left, event.clientY - box.top);
      state.place = state.key = "";
      point();
      if (!hit) return;
      const { item, group } = hit.thing;
      pw.point({ words: item.label, at: hit.point.sub(group.position).toArray(), solids: [item.name] });
      bench.soon();
      say(item.label);
    });
    holder.addEventListener("keydown", (event) => {
      if (event.target === holder && (event.key === "0" || event.key === "Home")) acts.turn("first");
    });
  }

  function noPicture(reason) {
    document.documentElement.dataset.picture = "none";
    byId("no-picture").hidden = false;
    byId("no-picture").textContent = `No picture here: ${reason}. All that the page says stands below.`;
  }

  // Show another model; what is looked at, cut, taken apart and hidden stays. Of models that come faster than
  // they can be unpacked, the last is shown.
  pw.update = async function (model) {
    const turn = ++asked;
    if (!ready) {
      Object.assign(state, { model, unit: model.unit });
      pw.write(model);
    }
    const meshes = bench ? await unpacked(model) : null;
    if (turn !== asked) return;
    state.model = model;
    if (!model.views.some((one) => one.id === state.view)) state.view = "plane";
    if (!(state.place in model.places)) state.place = "";
    if (ready) pw.write(model);
    pw.choices(model);
    pw.offerPrograms(model);
    for (const input of byId("units").querySelectorAll("input")) input.checked = input.value === state.unit;
    if (bench) {
      bench.use(meshes);
      bench.resize();
    }
    const first = !ready;
    ready = true;
    lay(!first);
    if (bench) bench.draw();
    if (first) pw.connect(acts);
    document.documentElement.dataset.ready = "yes";
  };

  async function unpacked(model) {
    try {
      return await pw.decode(model);
    } catch (error) {
      bench = null;
      noPicture(error.message);
      return null;
    }
  }

  const wish = window.matchMedia("(prefers-color-scheme: dark)");
  pw.dark(wish.matches);
  wish.addEventListener("change", () => pw.dark(wish.matches));
  try {
    const caption = document.querySelector(".caption");
    const turns = document.querySelector(".turns");
    const room = () => [caption.offsetTop + caption.offsetHeight, turns.offsetHeight + 16];
    bench = new pw.Bench(byId("canvas"), byId("view"), () => pw.follow(bench), room);
    picking(byId("view"));
  } catch (error) {
    noPicture("this browser has no WebGL to draw with");
  }
  pw.forPaper(() => (bench ? bench.taken() : ""));
  pw.update(JSON.parse(byId("model").textContent));
})(planewright);
