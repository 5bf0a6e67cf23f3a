/* Takes apart what the Python export packed: numbers, and the tables of the belief. */
"use strict";

function bytesOf(base64) {
  const text = atob(base64), found = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) found[i] = text.charCodeAt(i);
  return found;
}

/* Numbers as doubles: whole ten-thousandths (n4), or as they stand (f8). */
function unpacked(packed) {
  if (packed.f8 !== undefined) return new Float64Array(bytesOf(packed.f8).buffer);
  return Float64Array.from(new Int32Array(bytesOf(packed.n4).buffer), (n) => n / 10000);
}

/* The tables with all their numbers unpacked. */
function readTables(tables) {
  for (const feature of tables.features) {
    if (feature.table) feature.table = unpacked(feature.table);
    if (feature.sizes) feature.sizes = unpacked(feature.sizes);
    if (feature.outside) {
      for (const name of Object.keys(feature.outside.settings)) {
        feature.outside.settings[name] = unpacked(feature.outside.settings[name]);
      }
    }
  }
  return tables;
}

if (typeof module !== "undefined") module.exports = { bytesOf, unpacked, readTables };
