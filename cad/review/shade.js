// From bare triangles to what is drawn: normals that are smooth within a surface and break at its edges,
// and those edges as lines. Facets of one curved surface meet at less than 12 degrees (cad/kernel/mesh.py).
(function (pw) {
  const CREASE = Math.cos((24 * Math.PI) / 180);

  function faceNormals(corners, triangles) {
    const count = triangles.length / 3;
    const unit = new Float32Array(count * 3);
    const area = new Float32Array(count);
    const p = (k, c) => corners[3 * k + c];
    for (let f = 0; f < count; f++) {
      const [a, b, c] = [triangles[3 * f], triangles[3 * f + 1], triangles[3 * f + 2]];
      const u = [0, 1, 2].map((i) => p(b, i) - p(a, i));
      const v = [0, 1, 2].map((i) => p(c, i) - p(a, i));
      const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
      const size = Math.hypot(n[0], n[1], n[2]) || 1;
      area[f] = size;
      for (let i = 0; i < 3; i++) unit[3 * f + i] = n[i] / size;
    }
    return { unit, area };
  }

  const along = (unit, f, g) =>
    unit[3 * f] * unit[3 * g] + unit[3 * f + 1] * unit[3 * g + 1] + unit[3 * f + 2] * unit[3 * g + 2];

  function facesAt(triangles, corners) {
    const start = new Uint32Array(corners + 1);
    for (const k of triangles) start[k + 1]++;
    for (let k = 0; k < corners; k++) start[k + 1] += start[k];
    const next = start.slice();
    const faces = new Uint32Array(triangles.length);
    for (let i = 0; i < triangles.length; i++) faces[next[triangles[i]]++] = Math.floor(i / 3);
    return { start, faces };
  }

  function edges(mesh, unit) {
    const { corners, triangles } = mesh;
    const count = corners.length / 3;
    const waiting = new Map();
    const lines = [];
    for (let i = 0; i < triangles.length; i++) {
      const f = Math.floor(i / 3);
      const a = triangles[i];
      const b = triangles[3 * f + ((i + 1) % 3)];
      const back = b * count + a;
      const other = waiting.get(back);
      if (other === undefined) {
        waiting.set(a * count + b, f);
        continue;
      }
      waiting.delete(back);
      if (along(unit, f, other) < CREASE) {
        for (const k of [a, b]) lines.push(corners[3 * k], corners[3 * k + 1], corners[3 * k + 2]);
      }
    }
    return new Float32Array(lines);
  }

  // Returns positions and normals, three corners for each triangle, and the ends of the edges' lines.
  pw.shade = function (mesh) {
    const { corners, triangles } = mesh;
    const { unit, area } = faceNormals(corners, triangles);
    const { start, faces } = facesAt(triangles, corners.length / 3);
    const positions = new Float32Array(triangles.length * 3);
    const normals = new Float32Array(triangles.length * 3);
    for (let i = 0; i < triangles.length; i++) {
      const f = Math.floor(i / 3);
      const k = triangles[i];
      let [x, y, z] = [0, 0, 0];
      for (let j = start[k]; j < start[k + 1]; j++) {
        const g = faces[j];
        if (along(unit, f, g) < CREASE) continue;
        x += unit[3 * g] * area[g];
        y += unit[3 * g + 1] * area[g];
        z += unit[3 * g + 2] * area[g];
      }
      const size = Math.hypot(x, y, z) || 1;
      normals.set([x / size, y / size, z / size], 3 * i);
      positions.set([corners[3 * k], corners[3 * k + 1], corners[3 * k + 2]], 3 * i);
    }
    return { positions, normals, lines: edges(mesh, unit) };
  };
})(planewright);
