// The eye: square on, so that parallel lines stay so. It goes round a point with one direction always up,
// by mouse, touch and keyboard.
(function (pw) {
  const STEP = Math.PI / 18;
  const STEEPEST = Math.PI / 2 - 0.001;

  pw.Orbit = class {
    // `moved` is called after each change of where the eye stands.
    // `room` returns how many pixels at the top and the bottom of the window other things lie over.
    constructor(element, moved, room) {
      this.camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -5000, 5000);
      this.target = new THREE.Vector3();
      this.up = new THREE.Vector3(0, 0, 1);
      this.half = 100; // half the height that is seen, mm
      this.turn = 0;
      this.lift = 0;
      this.element = element;
      this.moved = moved;
      this.room = room;
      this.touching = new Map();
      this.listen();
    }

    // Stand in the direction `eye` from the target, with `up` upwards.
    stand(eye, up) {
      this.up.fromArray(up).normalize();
      const [east, north] = this.ground();
      const way = new THREE.Vector3().fromArray(eye).normalize();
      this.turn = Math.atan2(way.dot(north), way.dot(east));
      this.lift = Math.max(-STEEPEST, Math.min(STEEPEST, Math.asin(way.dot(this.up))));
      this.place();
    }

    ground() {
      const east = Math.abs(this.up.x) > 0.9 ? new THREE.Vector3(0, 1, 0) : new THREE.Vector3(1, 0, 0);
      east.addScaledVector(this.up, -east.dot(this.up)).normalize();
      return [east, new THREE.Vector3().crossVectors(this.up, east)];
    }

    away() {
      const [east, north] = this.ground();
      const flat = Math.cos(this.lift);
      return new THREE.Vector3()
        .addScaledVector(east, flat * Math.cos(this.turn))
        .addScaledVector(north, flat * Math.sin(this.turn))
        .addScaledVector(this.up, Math.sin(this.lift));
    }

    place() {
      const { clientWidth: width, clientHeight: height } = this.element;
      const wide = this.half * (width / Math.max(height, 1));
      Object.assign(this.camera, { left: -wide, right: wide, top: this.half, bottom: -this.half });
      this.camera.up.copy(this.up);
      this.camera.position.copy(this.target).addScaledVector(this.away(), 1000);
      this.camera.lookAt(this.target);
      this.camera.updateProjectionMatrix();
      this.camera.updateMatrixWorld();
      this.moved();
    }

    // Come as near as shows all points; `reach(matrix)` returns the box around them as a matrix moves them.
    fit(reach) {
      reach(new THREE.Matrix4()).getCenter(this.target);
      this.place();
      const seen = reach(this.camera.matrixWorldInverse);
      const size = seen.getSize(new THREE.Vector3());
      const middle = seen.getCenter(new THREE.Vector3());
      const { clientWidth: width, clientHeight: height } = this.element;
      const [top, bottom] = this.room();
      const free = Math.max(height - top - bottom, height / 3, 1);
      this.half = Math.max(((Math.max(size.y / free, size.x / Math.max(width, 1)) * height) / 2) * 1.1, 1);
      this.shift(middle.x, middle.y + ((top - bottom) / Math.max(height, 1)) * this.half);
      this.place();
    }

    shift(right, up) {
      const way = new THREE.Vector3();
      this.target.addScaledVector(way.setFromMatrixColumn(this.camera.matrixWorld, 0), right);
      this.target.addScaledVector(way.setFromMatrixColumn(this.camera.matrixWorld, 1), up);
    }

    spin(turn, lift) {
      this.turn += turn;
      this.lift = Math.max(-STEEPEST, Math.min(STEEPEST, this.lift + lift));
      this.place();
    }

    pan(x, y) {
      const scale = (2 * this.half) / Math.max(this.element.clientHeight, 1);
      this.shift(-x * scale, y * scale);
      this.place();
    }

    // Come nearer by a factor; what lies under the point of the window stays under it.
    zoom(factor, x, y) {
      const next = Math.max(2, Math.min(3000, this.half / factor));
      if (x !== undefined) {
        const { clientWidth: width, clientHeight: height } = this.element;
        const change = (2 * (this.half - next)) / Math.max(height, 1);
        this.shift((x - width / 2) * change, (height / 2 - y) * change);
      }
      this.half = next;
      this.place();
    }

    listen() {
      const on = (name, act, options) => this.element.addEventListener(name, act, options);
      on("contextmenu", (event) => event.preventDefault());
      on("pointerdown", (event) => {
        if (event.target.closest("button")) return;
        this.touching.set(event.pointerId, [event.clientX, event.clientY]);
        this.element.setPointerCapture(event.pointerId);
      });
      for (const name of ["pointerup", "pointercancel"]) {
        on(name, (event) => this.touching.delete(event.pointerId));
      }
      on("pointermove", (event) => this.drag(event));
      on("wheel", (event) => {
        event.preventDefault();
        const box = this.element.getBoundingClientRect();
        const lines = event.deltaMode === 1 ? 20 : 1;
        this.zoom(Math.exp(-event.deltaY * lines * 0.0015), event.clientX - box.left, event.clientY - box.top);
      }, { passive: false });
      on("keydown", (event) => this.key(event));
    }

    drag(event) {
      const was = this.touching.get(event.pointerId);
      if (!was) return;
      const now = [event.clientX, event.clientY];
      const [x, y] = [now[0] - was[0], now[1] - was[1]];
      if (this.touching.size === 2) {
        const other = [...this.touching].find(([id]) => id !== event.pointerId)[1];
        const span = (p) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 1);
        this.pan(x / 2, y / 2);
        this.zoom(span(now) / span(was));
      } else if (event.shiftKey || event.buttons & 6) {
        this.pan(x, y);
      } else {
        this.spin(-x * 0.008, y * 0.008);
      }
      this.touching.set(event.pointerId, now);
    }

    key(event) {
      if (event.target !== this.element || event.ctrlKey || event.metaKey || event.altKey) return;
      const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
      const way = ways[event.key];
      if (way && event.shiftKey) this.pan(-way[0] * 40, way[1] * 40);
      else if (way) this.spin(way[0] * STEP, way[1] * STEP);
      else if (event.key === "+" || event.key === "=") this.zoom(1.2);
      else if (event.key === "-" || event.key === "_") this.zoom(1 / 1.2);
      else return;
      event.preventDefault();
    }
  };
})(planewright);
