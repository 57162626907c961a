// A piece of stock as heights over square cells, cut by the strokes of a cutter: what the player draws.
(function (pw) {
  const CELLS = 320; // along the longer side

  pw.Wood = class {
    constructor(low, size) {
      this.low = low;
      this.thickness = size[2];
      this.cell = Math.max(size[0], size[1]) / CELLS;
      this.columns = Math.max(Math.ceil(size[0] / this.cell), 1);
      this.rows = Math.max(Math.ceil(size[1] / this.cell), 1);
      this.height = new Float32Array(this.columns * this.rows);
    }

    // Take off what a cutter sweeps on its straight way from a to b. Where it slopes, its height is taken to be
    // that of the nearest place on the way: close enough to look at.
    cut(tool, a, b) {
      if (Math.min(a[2], b[2]) >= 0) return;
      const { cell, columns, rows, low, thickness } = this;
      const { radius } = tool;
      const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
      const square = dx * dx + dy * dy;
      const cells = (value, axis) => (value - low[axis]) / cell - 0.5;
      const first = (axis) => Math.max(Math.ceil(cells(Math.min(a[axis], b[axis]) - radius, axis)), 0);
      const last = (axis, most) => Math.min(Math.floor(cells(Math.max(a[axis], b[axis]) + radius, axis)), most - 1);
      const [right, back] = [last(0, columns), last(1, rows)];
      for (let row = first(1); row <= back; row++) {
        const py = low[1] + (row + 0.5) * cell - a[1];
        for (let column = first(0); column <= right; column++) {
          const px = low[0] + (column + 0.5) * cell - a[0];
          const share = square ? Math.max(0, Math.min(1, (px * dx + py * dy) / square)) : 1;
          const off = Math.hypot(px - share * dx, py - share * dy);
          if (off > radius) continue;
          const end = tool.ball ? radius - Math.sqrt(radius * radius - off * off) : tool.rise * off;
          const z = Math.max((square ? a[2] + share * (b[2] - a[2]) : Math.min(a[2], b[2])) + end, -thickness);
          const at = row * columns + column;
          if (z < this.height[at]) this.height[at] = z;
        }
      }
    }
  };

  // From the top of the board to just above its foot; what is cut through shows what lies below.
  const [TOP, FOOT, THROUGH] = [[226, 190, 140], [122, 80, 44], [38, 41, 44]];

  // Paint the wood into a picture as wide and high as it has cells, its back edge at the top.
  pw.painted = function (wood, picture) {
    const { columns, rows, height, thickness } = wood;
    for (let row = 0; row < rows; row++) {
      for (let column = 0; column < columns; column++) {
        const share = -height[row * columns + column] / thickness;
        const at = 4 * ((rows - 1 - row) * columns + column);
        for (let i = 0; i < 3; i++) {
          picture.data[at + i] = share > 0.999 ? THROUGH[i] : TOP[i] + share * (FOOT[i] - TOP[i]);
        }
        picture.data[at + 3] = 255;
      }
    }
  };
})(planewright);
