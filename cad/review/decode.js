// From the page's blob to corners and triangles. See cad/review/packing.py for the layout.
(function (pw) {
  function bytesOf(text) {
    const words = atob(text);
    const bytes = new Uint8Array(words.length);
    for (let i = 0; i < words.length; i++) bytes[i] = words.charCodeAt(i);
    return bytes;
  }

  // From gzip in base64 to a buffer of bytes.
  pw.unzipped = async function (text) {
    const flow = new Blob([bytesOf(text)]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(flow).arrayBuffer();
  };

  const filled = (size) => size + ((4 - (size % 4)) % 4);

  // Returns for each mesh its corners (three numbers each, mm) and its triangles (three corners each).
  pw.decode = async function (model) {
    if (typeof DecompressionStream === "undefined") {
      throw new Error("this browser is too old to unpack the model");
    }
    const buffer = await pw.unzipped(model.geometry);
    let at = 0;
    return model.meshes.map((head) => {
      const grid = new Uint16Array(buffer, at, head.corners * 3);
      at += filled(head.corners * 6);
      const Kind = head.wide ? Uint32Array : Uint16Array;
      const triangles = new Kind(buffer, at, head.triangles * 3);
      at += filled(head.triangles * 3 * Kind.BYTES_PER_ELEMENT);
      const corners = new Float32Array(head.corners * 3);
      for (let i = 0; i < corners.length; i++) corners[i] = head.low[i % 3] + grid[i] * head.step[i % 3];
      return { corners, triangles };
    });
  };
})(planewright);
