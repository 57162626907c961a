// A plane that cuts everything, and caps that close what it cuts: for each solid the stencil counts back faces
// against front faces, and what is left over is inside the solid where the plane passes.
(function (pw) {
  const HATCH = 64;

  function hatching(tone) {
    const canvas = document.createElement("canvas");
    canvas.width = canvas.height = HATCH;
    const pen = canvas.getContext("2d");
    pen.fillStyle = tone;
    pen.fillRect(0, 0, HATCH, HATCH);
    pen.strokeStyle = "rgba(40, 26, 14, 0.55)";
    pen.lineWidth = 7;
    pen.beginPath();
    for (const shift of [-HATCH, 0, HATCH]) {
      pen.moveTo(shift - 8, HATCH + 8);
      pen.lineTo(shift + HATCH + 8, -8);
    }
    pen.stroke();
    const texture = new THREE.CanvasTexture(canvas);
    texture.encoding = THREE.sRGBEncoding;
    texture.wrapS = texture.wrapT = THREE.RepeatWrapping;
    texture.anisotropy = 4;
    return texture;
  }

  function counting(side, op, plane) {
    return new THREE.MeshBasicMaterial({
      side, clippingPlanes: [plane], colorWrite: false, depthWrite: false, depthTest: false,
      stencilWrite: true, stencilFunc: THREE.AlwaysStencilFunc,
      stencilFail: op, stencilZFail: op, stencilZPass: op,
    });
  }

  pw.Section = class {
    constructor() {
      this.plane = new THREE.Plane(new THREE.Vector3(0, -1, 0), 0);
      this.axis = "";
      this.turned = false;
      this.at = 0;
      this.back = counting(THREE.BackSide, THREE.IncrementWrapStencilOp, this.plane);
      this.front = counting(THREE.FrontSide, THREE.DecrementWrapStencilOp, this.plane);
      this.textures = new Map();
    }

    get planes() {
      return this.axis ? [this.plane] : [];
    }

    // Cut at a place (mm) along an axis, "x", "y" or "z", and take away what lies beyond it; "" cuts nothing.
    // The side taken away is the eye's own at first.
    set(axis, at, turned, eye) {
      Object.assign(this, { axis, at, turned });
      if (!axis) return;
      const away = (eye[axis] >= 0 ? 1 : -1) * (turned ? -1 : 1);
      this.plane.normal.set(0, 0, 0);
      this.plane.normal[axis] = -away;
      this.plane.constant = away * at;
    }

    // Returns the three meshes that close one solid, drawn in turn before all else.
    caps(geometry, tone, turn, size) {
      const made = [this.back, this.front].map((material) => new THREE.Mesh(geometry, material));
      const cap = new THREE.Mesh(
        new THREE.PlaneGeometry(size, size),
        new THREE.MeshBasicMaterial({
          side: THREE.DoubleSide, stencilWrite: true, stencilRef: 0,
          stencilFunc: THREE.NotEqualStencilFunc, stencilFail: THREE.ZeroStencilOp,
          stencilZFail: THREE.ZeroStencilOp, stencilZPass: THREE.ZeroStencilOp,
        }));
      const uv = cap.geometry.attributes.uv;
      for (let i = 0; i < uv.count; i++) uv.setXY(i, uv.getX(i) * size, uv.getY(i) * size);
      made.forEach((mesh) => (mesh.renderOrder = 2 * turn - 1));
      cap.renderOrder = 2 * turn;
      cap.userData.tone = tone; // its hatching is drawn when it is first wanted
      return { counts: made, cap };
    }

    // Keep the hatching as wide on the screen when half the window's height shows `half` mm.
    scale(half) {
      for (const texture of this.textures.values()) texture.repeat.set(26 / half, 26 / half);
    }

    // Lay a cap into the plane, facing along it, its middle near the model's.
    lay(cap, middle) {
      const { normal } = this.plane;
      if (!cap.material.map) {
        const { tone } = cap.userData;
        if (!this.textures.has(tone)) this.textures.set(tone, hatching(tone));
        Object.assign(cap.material, { map: this.textures.get(tone), needsUpdate: true });
      }
      cap.position.copy(middle);
      cap.position[this.axis || "x"] = this.at;
      cap.up.set(0, 0, 1);
      if (Math.abs(normal.z) > 0.5) cap.up.set(0, 1, 0);
      cap.lookAt(cap.position.clone().add(normal));
    }
  };
})(planewright);
