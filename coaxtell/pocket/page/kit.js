/* Small tools of the page: elements whose text is always text, files that are handed over. */
"use strict";

/* An element: `h("button.way", {onclick: f}, "text", child)`. Text never becomes markup. */
function h(what, attributes, ...children) {
  const [name, ...classes] = what.split(".");
  const found = document.createElement(name || "div");
  if (classes.length) found.className = classes.join(" ");
  for (const [key, value] of Object.entries(attributes || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) found.addEventListener(key.slice(2), value);
    else if (key === "value") found.value = value;
    else found.setAttribute(key, value === true ? "" : value);
  }
  found.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== ""));
  return found;
}

/* Hands a file over: to the phone's own list of programs where it offers one, else as a download; false where the person
 * left that list. */
async function handOver(name, type, content) {
  const file = new File([content], name, { type });
  if (navigator.canShare && navigator.canShare({ files: [file] })) {
    try {
      await navigator.share({ files: [file] });
      return true;
    } catch (error) {
      if (error.name === "AbortError") return false;
    }
  }
  const link = h("a", { href: URL.createObjectURL(file), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  return true;
}

/* A name no two events share, also where the page has no secure context. */
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const text = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join("-");
}

/* Text of a deflate stream in base64. */
async function inflated(base64) {
  const stream = new Blob([bytesOf(base64)]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
