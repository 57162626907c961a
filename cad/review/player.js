// Programs for the router played back: seen from above, the cutter on its way and the wood as it stands by then.
(function (pw) {
  const byId = (id) => document.getElementById(id);
  const HUNDREDTHS = 100; // coordinates come in hundredths of a mm
  const WHOLE_SHOW_S = 40; // what playing all programs of one piece of stock takes
  let stocks = [];
  let stock = null;
  let wood = null;
  let done = 0; // strokes that the wood has seen
  let playing = 0;

  // The strokes of all programs of a piece of stock, one behind the other, each with the time when it ends.
  function strokes(one) {
    const found = [];
    let time = 0;
    one.runs.forEach((run, number) => {
      const point = (i) => [0, 1, 2].map((axis) => run.points[3 * i + axis] / HUNDREDTHS);
      let at = 0;
      run.counts.forEach((count, move) => {
        for (let i = 0; i < count; i++, at++) {
          time += run.seconds[move] / count;
          found.push({ run: number, line: run.lines[move], rapid: run.rapid[move] === 1, a: point(at), b: point(at + 1), time });
        }
      });
    });
    return found;
  }

  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
  const total = () => (stock.strokes.length ? stock.strokes[stock.strokes.length - 1].time : 0);

  // Bring the wood to a time: on from where it stands, or from the whole board when time goes back.
  function bring(time) {
    const { strokes: all, runs, low, size } = stock;
    let now = 0;
    for (let high = all.length; now < high; ) {
      const middle = (now + high) >> 1;
      if (all[middle].time <= time + 1e-9) now = middle + 1;
      else high = middle;
    }
    if (now < done || !wood) {
      wood = new pw.Wood(low, size);
      done = 0;
    }
    for (; done < now; done++) wood.cut(runs[all[done].run].tool, all[done].a, all[done].b);
    const next = all[Math.min(now, all.length - 1)];
    const before = now ? all[now - 1].time : 0;
    const share = now < all.length && next.time > before ? (time - before) / (next.time - before) : 1;
    return { stroke: next, at: next.a.map((value, axis) => value + share * (next.b[axis] - value)) };
  }

  function draw(stroke, at) {
    const canvas = byId("wood");
    const { columns, rows, low, cell } = wood;
    if (canvas.width !== 2 * columns || canvas.height !== 2 * rows) Object.assign(canvas, { width: 2 * columns, height: 2 * rows });
    const pen = canvas.getContext("2d");
    const picture = pen.createImageData(columns, rows);
    pw.painted(wood, picture);
    const small = new OffscreenCanvas(columns, rows);
    small.getContext("2d").putImageData(picture, 0, 0);
    pen.imageSmoothingEnabled = false;
    pen.drawImage(small, 0, 0, 2 * columns, 2 * rows);
    const place = (x, y) => [(2 * (x - low[0])) / cell, 2 * (rows - (y - low[1]) / cell)];
    pen.lineWidth = 1;
    pen.strokeStyle = "rgba(255, 255, 255, .75)";
    pen.beginPath();
    for (const [ax, ay, bx, by] of stock.outlines) {
      pen.moveTo(...place(ax / HUNDREDTHS, ay / HUNDREDTHS));
      pen.lineTo(...place(bx / HUNDREDTHS, by / HUNDREDTHS));
    }
    pen.stroke();
    const { radius } = stock.runs[stroke.run].tool;
    for (const [colour, wide] of [["#fff", 5], [stroke.rapid ? "#9c1f14" : "#0c5660", 2.5]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide;
      pen.beginPath();
      pen.arc(...place(at[0], at[1]), Math.max((2 * radius) / cell, 4), 0, 2 * Math.PI);
      pen.stroke();
    }
  }

  function show(time) {
    const { stroke, at } = bring(time);
    draw(stroke, at);
    const run = stock.runs[stroke.run];
    const deep = at.map((value) => pw.length(value, pw.state.unit));
    const words = `${clock(time)} of ${clock(total())}. ${run.name}, line ${stroke.line}: ` +
      `${stroke.rapid ? "rapid" : "cutting feed"}, x ${deep[0]}, y ${deep[1]}, z ${deep[2]}`;
    byId("played").textContent = words;
    byId("play-at").setAttribute("aria-valuetext", words);
    byId("wood").setAttribute("aria-label", `${stock.title} from above, ${words}`);
  }

  const slider = () => (Number(byId("play-at").value) / 1000) * total();

  function stop() {
    cancelAnimationFrame(playing);
    playing = 0;
    byId("play").textContent = "Play";
    byId("play").setAttribute("aria-pressed", "false");
  }

  function play() {
    if (playing) return stop();
    let time = slider() >= total() - 1e-6 ? 0 : slider();
    let before; // The first frame may be stamped before the click, so its own stamp starts the clock.
    byId("play").textContent = "Stop";
    byId("play").setAttribute("aria-pressed", "true");
    const step = (now) => {
      time = Math.min(time + ((now - (before ?? now)) / 1000) * (total() / WHOLE_SHOW_S), total());
      before = now;
      byId("play-at").value = total() ? (1000 * time) / total() : 0;
      show(time);
      if (time < total()) playing = requestAnimationFrame(step);
      else stop();
    };
    playing = requestAnimationFrame(step);
    return undefined;
  }

  function figures() {
    const mm = (value) => `${value.toFixed(3)} mm`;
    const row = (name, ...cells) => pw.make("tr", {}, pw.make("th", { scope: "row" }, name), ...cells.map((cell) => pw.make("td", {}, cell)));
    byId("programs").replaceChildren(...stock.runs.map((run) =>
      row(run.name, run.tool.words, clock(run.seconds.reduce((sum, one) => sum + one, 0)))));
    const ridge = stock.scallop ? `, ridges of ${mm(stock.ridge)} (${mm(stock.scallop)} was asked for)` : "";
    byId("simulated").textContent = `Run before it was written: at most ${mm(stock.gouge)} cut into a part, ` +
      `${mm(stock.left)} left on it${ridge}.`;
  }

  function choose(number) {
    stop();
    stock = stocks[number];
    if (!stock.strokes) stock.strokes = strokes(stock);
    wood = null;
    byId("play-at").value = 1000;
    figures();
    show(total());
  }

  function connect() {
    byId("stocks").addEventListener("change", (event) => choose(event.target.selectedIndex));
    byId("play").addEventListener("click", play);
    byId("play-at").addEventListener("input", () => {
      stop();
      show(slider());
    });
  }

  // Show the same time again, in the unit in use.
  pw.againPrograms = () => {
    if (stock) show(slider());
  };

  // Offer the programs of a model; without any, or where they cannot be unpacked, there is nothing to see.
  pw.offerPrograms = async function (model) {
    stop();
    const packed = model.programs || "";
    const can = packed && typeof DecompressionStream !== "undefined";
    stocks = can ? JSON.parse(new TextDecoder().decode(await pw.unzipped(packed))) : [];
    byId("router").hidden = byId("to-router").hidden = !stocks.length;
    if (!stocks.length) return;
    byId("stocks").replaceChildren(...stocks.map((one, i) => pw.make("option", { value: i }, one.title)));
    choose(0);
    byId("router").dataset.ready = "yes";
  };

  connect();
})(planewright);
