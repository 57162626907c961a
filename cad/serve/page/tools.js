"use strict";
// What the other scripts of the form share: making elements, and asking the server.
const liveTools = (key) => {
  function make(tag, given, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(given || {})) {
      if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
      else if (name === "hidden" || name === "disabled") node[name] = value;
      else if (value !== null && value !== undefined) node.setAttribute(name, value);
    }
    node.append(...children.filter((child) => child !== null));
    return node;
  }

  async function post(path, body) {
    let reply;
    try {
      reply = await fetch(path, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Planewright-Key": key },
        body: JSON.stringify(body),
      });
    } catch {
      return { ok: false, status: 0, error: "The server does not answer. Is planewright serve still running?" };
    }
    try {
      return { ...(await reply.json()), ok: reply.ok, code: reply.status };
    } catch {
      return { ok: false, code: reply.status, error: "The server broke off its answer." };
    }
  }

  return { make, post };
};
