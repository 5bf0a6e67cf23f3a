/* The models: taken out of their streams, drawn in the round with WebGL2, turned by drag, pinch and key. */
"use strict";

/* The parts of a half with their points [mm] and triangles. */
function modelOf(told, bytes) {
  let at = 0;
  const column = (count) => {
    const found = new Uint16Array(count);
    let last = 0;
    for (let i = 0; i < count; i++) found[i] = last = (last + bytes[at + i] + (bytes[at + count + i] << 8)) & 65535;
    at += 2 * count;
    return found;
  };
  return told.parts.map(([name, role, moving, material, colour, points, triangles]) => {
    const axes = [0, 1, 2].map(() => column(points)), corners = [0, 1, 2].map(() => column(triangles));
    const places = new Float32Array(3 * points), faces = new Uint16Array(3 * triangles);
    for (let axis = 0; axis < 3; axis++) {
      for (let i = 0; i < points; i++) places[3 * i + axis] = told.corner[axis] + told.step * axes[axis][i];
      for (let i = 0; i < triangles; i++) faces[3 * i + axis] = corners[axis][i];
    }
    return { name, role, moving, material, colour, places, faces };
  });
}

const VERTEX = `#version 300 es
in vec3 place; uniform mat3 turn; uniform vec3 middle; uniform vec2 scale; out vec3 at; out vec3 own;
void main() { own = place; at = turn * (place - middle); gl_Position = vec4(at.xy * scale, -at.z * 0.01, 1.0); }`;
const FRAGMENT = `#version 300 es
precision highp float; in vec3 at; in vec3 own; uniform vec3 colour; uniform float cut; uniform float shine; out vec4 seen;
void main() {
  if (own.x > cut) discard;
  vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
  bool back = !gl_FrontFacing;
  float light = 0.38 + 0.5 * max(dot(normal, normalize(vec3(0.35, 0.55, 0.75))), 0.0) + 0.2 * max(normal.x, 0.0);
  float gleam = shine * pow(max(dot(normal, normalize(vec3(0.2, 0.4, 0.9))), 0.0), 24.0);
  seen = vec4((back ? 0.55 : light) * colour + gleam, 1.0);
}`;

class Viewer {
  constructor(canvas, colours) {
    this.canvas = canvas;
    this.colours = colours;
    this.gl = canvas.getContext("webgl2", { antialias: true });
    this.angles = [0.6, 0.35];
    this.zoom = 1;
    this.cut = 1;
    this.parts = [];
    if (this.gl) this.prepare();
  }

  prepare() {
    const { gl } = this, program = gl.createProgram();
    for (const [type, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
      const shader = gl.createShader(type);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
    }
    gl.bindAttribLocation(program, 0, "place");
    gl.linkProgram(program);
    gl.useProgram(program);
    gl.enable(gl.DEPTH_TEST);
    this.at = Object.fromEntries(["turn", "middle", "scale", "colour", "cut", "shine"].map((n) => [n, gl.getUniformLocation(program, n)]));
  }

  show(parts) {
    const { gl } = this;
    if (!gl) return;
    for (const part of this.parts) [part.buffer, part.index].forEach((buffer) => gl.deleteBuffer(buffer));
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    this.parts = parts.map((part) => {
      for (let i = 0; i < part.places.length; i++) {
        low[i % 3] = Math.min(low[i % 3], part.places[i]);
        high[i % 3] = Math.max(high[i % 3], part.places[i]);
      }
      const buffer = gl.createBuffer(), index = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, part.places, gl.STATIC_DRAW);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, index);
      gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, part.faces, gl.STATIC_DRAW);
      return { ...part, buffer, index, count: part.faces.length };
    });
    this.middle = low.map((n, axis) => (n + high[axis]) / 2);
    this.reach = Math.hypot(...low.map((n, axis) => (high[axis] - n) / 2));
    this.halfWide = high[0];
    this.draw();
  }

  /* Drawn at half size while it turns. */
  draw(still = true) {
    const { gl, canvas } = this;
    if (!gl || !this.parts.length) return;
    const ratio = (window.devicePixelRatio || 1) * (still ? 1 : 0.5);
    const [wide, high] = [canvas.clientWidth * ratio, canvas.clientHeight * ratio].map((n) => Math.max(1, Math.round(n)));
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    gl.viewport(0, 0, wide, high);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const [a, b] = this.angles, [s, c, t, d] = [Math.sin(a), Math.cos(a), Math.sin(b), Math.cos(b)];
    gl.uniformMatrix3fv(this.at.turn, false, [c, s * t, -s * d, 0, d, t, s, -c * t, c * d]);
    gl.uniform3fv(this.at.middle, this.middle);
    const scale = (this.zoom * Math.min(wide, high)) / this.reach;
    gl.uniform2f(this.at.scale, scale / wide, scale / high);
    gl.uniform1f(this.at.cut, (2 * this.cut - 1) * this.halfWide + (this.cut >= 1 ? 1 : 0));
    for (const part of this.parts) {
      const [red, green, blue, shine] = this.colours[part.colour || part.material];
      gl.uniform3f(this.at.colour, red, green, blue);
      gl.uniform1f(this.at.shine, shine);
      gl.bindBuffer(gl.ARRAY_BUFFER, part.buffer);
      gl.enableVertexAttribArray(0);
      gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, part.index);
      gl.drawElements(gl.TRIANGLES, part.count, gl.UNSIGNED_SHORT, 0);
    }
  }

  turn(right, up) {
    this.angles = [this.angles[0] + right, Math.max(-1.57, Math.min(1.57, this.angles[1] + up))];
  }

  face() {
    this.angles = [0, 0];
    this.zoom = 1;
    this.draw();
  }

  /* Drag turns, two fingers zoom, arrow keys turn, plus and minus zoom. */
  listen() {
    const { canvas } = this, down = new Map();
    let apart = 0;
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      down.set(event.pointerId, [event.clientX, event.clientY]);
      apart = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = down.get(event.pointerId);
      if (!before) return;
      down.set(event.pointerId, [event.clientX, event.clientY]);
      if (down.size === 2) {
        const [p, q] = [...down.values()], now = Math.hypot(p[0] - q[0], p[1] - q[1]);
        if (apart) this.zoom = Math.max(0.5, Math.min(8, (this.zoom * now) / apart));
        apart = now;
      } else this.turn((event.clientX - before[0]) / 90, (event.clientY - before[1]) / 90);
      this.draw(false);
    });
    const up = (event) => {
      down.delete(event.pointerId);
      this.draw();
    };
    canvas.addEventListener("pointerup", up);
    canvas.addEventListener("pointercancel", up);
    canvas.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-0.2, 0], ArrowRight: [0.2, 0], ArrowUp: [0, -0.2], ArrowDown: [0, 0.2] }[event.key];
      if (step) this.turn(...step);
      else if (event.key === "+" || event.key === "-") this.zoom *= event.key === "+" ? 1.2 : 1 / 1.2;
      else return;
      event.preventDefault();
      this.draw();
    });
  }
}

if (typeof module !== "undefined") module.exports = { modelOf };
