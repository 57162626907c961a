// The solids of one view in the light: shown and hidden, taken apart, cut open, brought out, pointed at.
(function (pw) {
  const FADED = 0.18;

  function lit() {
    const scene = new THREE.Scene();
    scene.add(new THREE.HemisphereLight(0xffffff, 0x8d8478, 0.62));
    return scene;
  }

  // Light from over the left shoulder and, fainter, from the right, both carried by the viewer.
  function lamps(camera) {
    for (const [x, y, z, strength] of [[-0.6, 0.9, 1, 0.5], [0.9, 0.1, 0.6, 0.2]]) {
      const lamp = new THREE.DirectionalLight(0xffffff, strength);
      lamp.position.set(x, y, z).multiplyScalar(500);
      camera.add(lamp, lamp.target);
    }
  }

  pw.Bench = class {
    // Throws when the browser has no WebGL to draw with. `drawn` is called after each picture.
    // `room` is for the eye: see orbit.js.
    constructor(canvas, holder, drawn, room) {
      this.renderer = new THREE.WebGLRenderer({ canvas, alpha: true, antialias: true, stencil: true });
      this.renderer.outputEncoding = THREE.sRGBEncoding;
      this.renderer.localClippingEnabled = true;
      this.scene = lit();
      this.section = new pw.Section();
      this.orbit = new pw.Orbit(holder, () => this.soon(), room);
      this.scene.add(this.orbit.camera);
      lamps(this.orbit.camera);
      this.holder = holder;
      this.drawn = drawn;
      this.shapes = new Map();
      this.things = [];
      this.share = 0;
      this.out = null;
      new ResizeObserver(() => this.resize()).observe(holder);
    }

    use(meshes) {
      this.clear();
      for (const shape of this.shapes.values()) Object.values(shape).forEach((one) => one.dispose());
      this.shapes.clear();
      this.meshes = meshes;
    }

    shape(number) {
      if (!this.shapes.has(number)) {
        const { positions, normals, lines } = pw.shade(this.meshes[number]);
        const faces = new THREE.BufferGeometry();
        faces.setAttribute("position", new THREE.BufferAttribute(positions, 3));
        faces.setAttribute("normal", new THREE.BufferAttribute(normals, 3));
        const edges = new THREE.BufferGeometry();
        edges.setAttribute("position", new THREE.BufferAttribute(lines, 3));
        this.shapes.set(number, { faces, edges });
      }
      return this.shapes.get(number);
    }

    clear() {
      for (const { group, cap, face, edge } of this.things) {
        this.scene.remove(group, cap);
        for (const old of [face.material, edge.material, cap.material, cap.geometry]) old.dispose();
      }
      this.things = [];
    }

    // Lay out the solids of a view; `isHidden(name)` says which are not shown.
    show(view, isHidden) {
      this.clear();
      this.things = view.items.map((item, i) => this.thing(item, i + 1));
      this.hide(isHidden);
    }

    thing(item, turn) {
      const { faces, edges } = this.shape(item.mesh);
      const { planes } = this.section;
      const face = new THREE.Mesh(faces, new THREE.MeshLambertMaterial({
        color: new THREE.Color(item.tone).convertSRGBToLinear(), clippingPlanes: planes,
        polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
      }));
      const edge = new THREE.LineSegments(edges, new THREE.LineBasicMaterial({
        color: 0x1a1512, clippingPlanes: planes, transparent: true, opacity: 0.8,
      }));
      face.renderOrder = edge.renderOrder = 1000;
      const { counts, cap } = this.section.caps(faces, item.tone, turn, 1600);
      const group = new THREE.Group();
      const inner = new THREE.Group();
      if (item.move) {
        inner.matrixAutoUpdate = false;
        inner.matrix.fromArray(item.move).transpose();
      }
      inner.add(face, edge, ...counts);
      group.add(inner);
      this.scene.add(group, cap);
      return { item, group, face, edge, counts, cap };
    }

    hide(isHidden) {
      for (const thing of this.things) thing.group.visible = !isHidden(thing.item.name);
      this.dress();
    }

    // How far apart, 0 to 1.
    apart(share) {
      this.share = share;
      this.dress();
    }

    cut(axis, at, turned) {
      this.section.set(axis, at, turned, this.orbit.away());
      this.dress();
    }

    // Bring out the named solids and fade all others; null brings all back.
    bring(names) {
      this.out = names && this.things.some((thing) => names.includes(thing.item.name)) ? names : null;
      this.dress();
    }

    dress() {
      const { planes } = this.section;
      const middle = this.box().getCenter(new THREE.Vector3());
      for (const { item, group, face, edge, counts, cap } of this.things) {
        group.position.fromArray(item.apart).multiplyScalar(this.share);
        const faded = this.out !== null && !this.out.includes(item.name);
        for (const { material } of [face, edge]) {
          if (material.clippingPlanes.length !== planes.length) material.needsUpdate = true;
          material.clippingPlanes = planes;
        }
        if (face.material.transparent !== faded) face.material.needsUpdate = true;
        Object.assign(face.material, { transparent: faded, opacity: faded ? FADED : 1, depthWrite: !faded });
        edge.material.opacity = faded ? 0.25 : 0.8;
        const closed = planes.length > 0 && group.visible && !faded;
        for (const one of [...counts, cap]) one.visible = closed;
        if (closed) this.section.lay(cap, middle);
      }
      this.soon();
    }

    // The box (mm) around all solids of the view, shown or not.
    box() {
      const box = new THREE.Box3();
      for (const { group, face } of this.things) {
        group.updateMatrixWorld(true);
        if (!face.geometry.boundingBox) face.geometry.computeBoundingBox();
        box.union(face.geometry.boundingBox.clone().applyMatrix4(face.matrixWorld));
      }
      return box.isEmpty() ? new THREE.Box3(new THREE.Vector3(-50, -50, -50), new THREE.Vector3(50, 50, 50)) : box;
    }

    // The box around all points of what is shown, seen through a matrix: tighter than a box seen aslant.
    reach(matrix) {
      const box = new THREE.Box3();
      const point = new THREE.Vector3();
      const through = new THREE.Matrix4();
      for (const { item, group, face } of this.things) {
        if (!group.visible) continue;
        group.updateMatrixWorld(true);
        through.multiplyMatrices(matrix, face.matrixWorld);
        const { corners } = this.meshes[item.mesh];
        for (let i = 0; i < corners.length; i += 3) {
          box.expandByPoint(point.fromArray(corners, i).applyMatrix4(through));
        }
      }
      return box.isEmpty() ? this.box() : box;
    }

    // Returns the solid and the point under a point of the window, in pixels, or null.
    pick(x, y) {
      const { clientWidth: width, clientHeight: height } = this.holder;
      const ray = new THREE.Raycaster();
      ray.setFromCamera({ x: (2 * x) / width - 1, y: 1 - (2 * y) / height }, this.orbit.camera);
      ray.ray.origin.addScaledVector(ray.ray.direction, -3000);
      const kept = (hit) => this.section.planes.every((plane) => plane.distanceToPoint(hit.point) >= 0);
      const shown = this.things.filter((thing) => thing.group.visible);
      const hits = ray.intersectObjects(shown.map((thing) => thing.face), false).filter(kept);
      if (!hits.length) return null;
      return { thing: shown.find((thing) => thing.face === hits[0].object), point: hits[0].point };
    }

    // Where a point (mm, on the named solid) is seen in the window, in pixels.
    seen(at, name) {
      const point = new THREE.Vector3().fromArray(at);
      const thing = this.things.find((one) => one.item.name === name);
      if (thing) point.addScaledVector(new THREE.Vector3().fromArray(thing.item.apart), this.share);
      point.project(this.orbit.camera);
      const { clientWidth: width, clientHeight: height } = this.holder;
      return [((point.x + 1) / 2) * width, ((1 - point.y) / 2) * height];
    }

    resize() {
      const { clientWidth: width, clientHeight: height } = this.holder;
      if (!width || !height) return;
      const ratio = Math.min(window.devicePixelRatio || 1, 2);
      const size = `${width} ${height} ${ratio}`;
      // To give the canvas a size, even its own, clears it and makes its buffers anew.
      if (size !== this.size) {
        this.size = size;
        this.renderer.setDrawingBufferSize(width, height, ratio);
      }
      this.orbit.place();
    }

    soon() {
      if (this.waiting) return;
      this.waiting = requestAnimationFrame(() => this.draw());
    }

    draw() {
      cancelAnimationFrame(this.waiting);
      this.waiting = 0;
      this.section.scale(this.orbit.half);
      this.renderer.render(this.scene, this.orbit.camera);
      this.drawn();
    }

    // The picture as it stands, for paper.
    taken() {
      this.draw();
      return this.renderer.domElement.toDataURL("image/png");
    }
  };
})(planewright);
