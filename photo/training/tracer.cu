// A small path tracer for turned parts: cones, hexagons and studs over a panel, under lights all round.
// One source for two compilers: nvcc (a GPU) and g++ -x c++ -fopenmp (processor cores). Lengths in mm, z out of the face.
#include <cmath>
#include <cstdint>
#ifdef __CUDACC__
#define BOTH __host__ __device__ inline
#else
#define BOTH inline
#endif

// Floats of a record; the Python side (scenes.py) writes the same layout.
enum { SHAPE = 9, COPY = 10, LIGHT = 8, MATERIAL = 8, MATERIALS = 8, COPIES = 4, LIGHTS = 12, HEAD = 32 };
enum { SCENE = HEAD + COPIES * COPY + LIGHTS * LIGHT + MATERIALS * MATERIAL };

struct V { float x, y, z; };
BOTH V v(float x, float y, float z) { return {x, y, z}; }
BOTH V v(const float* p) { return {p[0], p[1], p[2]}; }
BOTH V operator+(V a, V b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
BOTH V operator-(V a, V b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
BOTH V operator*(V a, float s) { return {a.x * s, a.y * s, a.z * s}; }
BOTH V operator*(V a, V b) { return {a.x * b.x, a.y * b.y, a.z * b.z}; }
BOTH float dot(V a, V b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
BOTH V cross(V a, V b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
BOTH V unit(V a) { return a * (1.0f / sqrtf(dot(a, a) + 1e-20f)); }

struct Dice { uint32_t state; };
BOTH float roll(Dice& d) {
    d.state = d.state * 747796405u + 2891336453u;
    uint32_t w = ((d.state >> ((d.state >> 28) + 4)) ^ d.state) * 277803737u;
    return ((w >> 22) ^ w) * 2.3283064e-10f;
}
BOTH uint32_t hashed(int x, int y, int k) {
    uint32_t h = (uint32_t)x * 374761393u + (uint32_t)y * 668265263u + (uint32_t)k * 2246822519u;
    h = (h ^ (h >> 13)) * 1274126177u;
    return h ^ (h >> 16);
}
BOTH float lattice(int x, int y, int k) { return hashed(x, y, k) * 2.3283064e-10f; }
BOTH float noise(float x, float y, int k) {
    float fx = floorf(x), fy = floorf(y);
    float u = x - fx, w = y - fy;
    u = u * u * (3 - 2 * u);
    w = w * w * (3 - 2 * w);
    int i = (int)fx, j = (int)fy;
    float a = lattice(i, j, k), b = lattice(i + 1, j, k), c = lattice(i, j + 1, k), e = lattice(i + 1, j + 1, k);
    return a + (b - a) * u + (c - a) * w + (a - b - c + e) * u * w;
}

struct Hit { float t; V n; int part; int copy; V at; };

BOTH bool in_polygon(float x, float y, float sides, float apothem, float turn) {
    float a = atan2f(y, x) - turn, step = 6.2831853f / sides;
    a = a - step * floorf(a / step + 0.5f);
    return sqrtf(x * x + y * y) * cosf(a) <= apothem;
}

// A shape: kind, part, then by kind. 0 cone: r0 z0 r1 z1. 1 prism's sides: apothem z0 z1 sides turn.
// 2 disc clipped to a polygon: r0 apothem z sides turn. 3 stud (capsule): ends (x0 y0 z0), (x1 y1 z1), radius.
BOTH void strike(const float* s, V o, V d, Hit& h, int copy) {
    int kind = (int)s[0];
    float t = 1e30f;
    V n = v(0, 0, 1);
    if (kind == 0) {
        float r0 = s[2], z0 = s[3], r1 = s[4], z1 = s[5];
        if (fabsf(z0 - z1) < 1e-5f) {
            if (fabsf(d.z) < 1e-8f) return;
            t = (z0 - o.z) / d.z;
            float x = o.x + d.x * t, y = o.y + d.y * t, rr = x * x + y * y;
            float lo = fminf(r0, r1), hi = fmaxf(r0, r1);
            if (t < 1e-3f || rr < lo * lo || rr > hi * hi) return;
        } else {
            float k = (r1 - r0) / (z1 - z0), c0 = r0 + k * (o.z - z0);
            float a = d.x * d.x + d.y * d.y - k * k * d.z * d.z;
            float b = o.x * d.x + o.y * d.y - k * c0 * d.z;
            float c = o.x * o.x + o.y * o.y - c0 * c0;
            if (fabsf(a) < 1e-9f) return;
            float q = b * b - a * c;
            if (q < 0) return;
            q = sqrtf(q);
            float lo = fminf(z0, z1) - 1e-4f, hi = fmaxf(z0, z1) + 1e-4f;
            for (int i = 0; i < 2; i++) {
                float one = (-b + (i ? q : -q)) / a, z = o.z + d.z * one;
                if (one > 1e-3f && one < t && z >= lo && z <= hi && c0 + k * d.z * one >= 0) t = one;
            }
            if (t > 1e29f) return;
            V p = o + d * t;
            n = unit(v(p.x, p.y, -k * sqrtf(p.x * p.x + p.y * p.y)));
        }
    } else if (kind == 1) {
        float apothem = s[2], lo = fminf(s[3], s[4]), hi = fmaxf(s[3], s[4]);
        int sides = (int)s[5];
        for (int i = 0; i < sides; i++) {
            float a = s[6] + 6.2831853f * i / sides;
            V m = v(cosf(a), sinf(a), 0);
            float e = dot(d, m);
            if (fabsf(e) < 1e-8f) continue;
            float one = (apothem - dot(o, m)) / e, z = o.z + d.z * one;
            if (one < 1e-3f || one >= t || z < lo || z > hi) continue;
            V p = o + d * one;
            if (fabsf(-p.x * m.y + p.y * m.x) > apothem * tanf(3.14159265f / sides) + 1e-4f) continue;
            t = one;
            n = m;
        }
        if (t > 1e29f) return;
    } else if (kind == 2) {
        if (fabsf(d.z) < 1e-8f) return;
        t = (s[4] - o.z) / d.z;
        float x = o.x + d.x * t, y = o.y + d.y * t;
        if (t < 1e-3f || x * x + y * y < s[2] * s[2] || !in_polygon(x, y, s[5], s[3], s[6])) return;
    } else {
        V a = v(s + 2), b = v(s + 5), ba = b - a, oa = o - a;
        float r = s[8], baba = dot(ba, ba), bard = dot(ba, d), baoa = dot(ba, oa), rdoa = dot(d, oa), oaoa = dot(oa, oa);
        float qa = baba - bard * bard, qb = baba * rdoa - baoa * bard, qc = baba * oaoa - baoa * baoa - r * r * baba;
        float q = qb * qb - qa * qc;
        if (q < 0) return;
        float one = (-qb - sqrtf(q)) / fmaxf(qa, 1e-9f), y = baoa + one * bard;
        V end = a;
        if (y > 0 && y < baba) {
            t = one;
        } else {
            end = y <= 0 ? a : b;
            V oc = o - end;
            float bb = dot(d, oc), cc = dot(oc, oc) - r * r, w = bb * bb - cc;
            if (w < 0) return;
            t = -bb - sqrtf(w);
        }
        if (t < 1e-3f) return;
        V p = o + d * t;
        float along = fminf(fmaxf(dot(p - a, ba) / fmaxf(baba, 1e-9f), 0.0f), 1.0f);
        n = unit(p - (a + ba * along));
    }
    if (t < h.t) h = {t, n, (int)s[1], copy, v(0, 0, 0)};
}

BOTH bool meets(V o, V d, float reach, float low, float high) {  // the cylinder round a copy
    float t0 = 0, t1 = 1e30f;
    if (fabsf(d.z) > 1e-9f) {
        float a = (low - o.z) / d.z, b = (high - o.z) / d.z;
        t0 = fmaxf(t0, fminf(a, b));
        t1 = fminf(t1, fmaxf(a, b));
    } else if (o.z < low || o.z > high) return false;
    float a = d.x * d.x + d.y * d.y, b = o.x * d.x + o.y * d.y, c = o.x * o.x + o.y * o.y - reach * reach;
    if (a < 1e-9f) return c <= 0 && t0 <= t1;
    float q = b * b - a * c;
    if (q < 0) return false;
    q = sqrtf(q);
    return fmaxf(t0, (-b - q) / a) <= fminf(t1, (-b + q) / a);
}

BOTH Hit nearest(const float* sc, const float* shapes, V o, V d) {
    Hit h = {1e30f, v(0, 0, 1), 0, -1, v(0, 0, 0)};
    const float* copies = sc + HEAD;
    for (int i = 0; i < (int)sc[20]; i++) {
        const float* c = copies + i * COPY;
        V local = o - v(c + 2);
        if (!meets(local, d, c[5], c[6], c[7])) continue;
        int first = (int)c[0], count = (int)c[1];
        for (int k = 0; k < count; k++) strike(shapes + (first + k) * SHAPE, local, d, h, i);
    }
    if (fabsf(d.z) > 1e-8f) {  // the panel or ground, with a hole round the port where it stands in one
        float t = (sc[17] - o.z) / d.z;
        if (t > 1e-3f && t < h.t) h = {t, v(0, 0, 1), 7, -1, v(0, 0, 0)};
    }
    h.at = o + d * h.t;
    return h;
}

BOTH V around(const float* sc, V d) {
    float up = 0.5f + 0.5f * d.y;
    V c = v(sc + 21) * up + v(sc + 24) * (1 - up);
    const float* lights = sc + HEAD + COPIES * COPY;
    for (int i = 0; i < (int)sc[27]; i++) {
        const float* l = lights + i * LIGHT;
        float e = (dot(d, v(l)) - l[3]) / l[4];
        if (e > 0) {
            e = fminf(e, 1.0f);
            V give = v(l + 5);
            c = give.x < 0 ? c * (1 + give.x * e) : c + give * e;  // below nought: a dark thing
        }
    }
    return c;
}

BOTH V ground(const float* sc, V p) {
    int k = (int)sc[18];
    float s = sc[19];
    V a = v(lattice(1, 1, k), lattice(2, 1, k), lattice(3, 1, k)), b = v(lattice(4, 1, k), lattice(5, 1, k), lattice(6, 1, k));
    float grey = lattice(7, 1, k);
    float dull = lattice(8, 1, k);
    a = a * dull * dull + v(grey, grey, grey) * (1 - dull * dull);
    float n = noise(p.x * s, p.y * s, k) * 0.6f + noise(p.x * s * 5, p.y * s * 5, k + 1) * 0.3f;
    V c = a * (0.75f + 0.5f * n);
    float kind = lattice(9, 1, k);
    if (kind < 0.35f) {  // print: little bars in cells, some cells empty
        float u = p.x * s * 2.5f, w = p.y * s * 2.5f;
        int i = (int)floorf(u), j = (int)floorf(w);
        if (lattice(i / 4, j, k + 2) < 0.4f && lattice(i, j, k + 3) < 0.7f) {
            float fu = u - i, fw = w - j;
            if (fu > 0.2f && fu < 0.2f + 0.6f * lattice(i, j, k + 4) && fw > 0.25f && fw < 0.75f) c = b;
        }
    } else if (kind < 0.55f) {  // a board: tracks and pads
        float u = p.x * s * 1.5f, w = p.y * s * 1.5f, fu = u - floorf(u) - 0.5f, fw = w - floorf(w) - 0.5f;
        int i = (int)floorf(u), j = (int)floorf(w);
        if (fabsf(lattice(i, j, k + 5) < 0.5f ? fu : fw) < 0.08f) c = c * 1.5f;
        if (lattice(i, j, k + 6) < 0.25f && fu * fu + fw * fw < 0.06f) c = v(0.75f, 0.68f, 0.45f);
    } else if (kind < 0.7f) {  // brushed
        c = c * (0.7f + 0.6f * noise(p.x * s * 0.7f, p.y * s * 40, k + 7));
    }
    return v(fminf(c.x, 0.95f), fminf(c.y, 0.95f), fminf(c.z, 0.95f));
}

BOTH V bent(V n, float amount, Dice& dice) {  // a facet's normal, GGX
    float u = roll(dice), w = roll(dice) * 6.2831853f;
    float c = sqrtf((1 - u) / (1 + (amount * amount - 1) * u)), s = sqrtf(fmaxf(0.0f, 1 - c * c));
    V t = unit(fabsf(n.z) < 0.9f ? cross(n, v(0, 0, 1)) : cross(n, v(1, 0, 0))), b = cross(n, t);
    return unit(t * (s * cosf(w)) + b * (s * sinf(w)) + n * c);
}

BOTH V seen(const float* sc, const float* shapes, V o, V d, Dice& dice, int bounces) {
    V light = v(0, 0, 0), left = v(1, 1, 1);
    for (int i = 0; i < bounces; i++) {
        Hit h = nearest(sc, shapes, o, d);
        if (h.t > 1e29f) return light + left * around(sc, d);
        V n = dot(h.n, d) > 0 ? h.n * -1.0f : h.n;
        float kind, rough;
        V tone;
        if (h.part == 7) {
            kind = lattice(10, 1, (int)sc[18]) < 0.08f ? 0.0f : 1.0f;
            rough = 0.3f + 0.5f * lattice(11, 1, (int)sc[18]);
            tone = ground(sc, h.at) * sc[28];
        } else {
            const float* m = sc + HEAD + COPIES * COPY + LIGHTS * LIGHT + (h.part < MATERIALS ? h.part : 0) * MATERIAL;
            V p = h.at - v(sc + HEAD + h.copy * COPY + 2);
            float r = sqrtf(p.x * p.x + p.y * p.y);
            kind = m[0];
            tone = v(m + 1);
            rough = m[4];
            float lathe = noise(r * 25, p.z * 25, (int)sc[18] + h.part) - 0.5f;
            float spot = noise(p.x * m[7], p.y * m[7] + p.z * m[7], (int)sc[18] + 31 + h.part);
            n = unit(n + v(lathe, lathe * 0.7f, lathe) * m[5]);
            if (m[6] > 0 && spot < m[6]) {
                tone = tone * (0.25f + 0.5f * spot);
                rough = fminf(rough + 0.25f, 0.9f);
            }
        }
        o = h.at + n * 2e-3f;
        float facing = fmaxf(-dot(n, d), 0.02f), edge = powf(1 - facing, 5.0f);
        if (kind < 0.5f) {
            V m = bent(n, rough * rough, dice);
            V out = d - m * (2 * dot(d, m));
            if (dot(out, n) <= 0) out = d - n * (2 * dot(d, n));
            left = left * (tone + (v(1, 1, 1) - tone) * edge);
            d = unit(out);
        } else if (roll(dice) < 0.04f + 0.5f * edge) {
            V m = bent(n, rough * rough, dice);
            V out = d - m * (2 * dot(d, m));
            d = dot(out, n) > 0 ? unit(out) : n;
        } else {
            float u = roll(dice), w = roll(dice) * 6.2831853f, s = sqrtf(u);
            V t = unit(fabsf(n.z) < 0.9f ? cross(n, v(0, 0, 1)) : cross(n, v(1, 0, 0))), b = cross(n, t);
            d = unit(t * (s * cosf(w)) + b * (s * sinf(w)) + n * sqrtf(1 - u));
            left = left * tone;
        }
    }
    return light;  // what never reaches a light stays dark
}

BOTH void pixel(const float* sc, const float* shapes, int size, int samples, int x, int y, float* rgb, uint8_t* part) {
    Dice dice = {hashed(x, y, (int)sc[29]) | 1u};
    V eye = v(sc), right = v(sc + 3), down = v(sc + 6), ahead = v(sc + 9), sum = v(0, 0, 0);
    float half = sc[12], lens = sc[13], focus = sc[14];
    for (int i = 0; i < samples; i++) {
        float px = (2 * (x + roll(dice)) / size - 1) * half + sc[15], py = (2 * (y + roll(dice)) / size - 1) * half + sc[16];
        V d = unit(ahead + right * px + down * py), o = eye;
        if (lens > 0) {
            V sharp = eye + d * (focus / dot(d, ahead));
            float a = roll(dice) * 6.2831853f, r = lens * sqrtf(roll(dice));
            o = eye + right * (r * cosf(a)) + down * (r * sinf(a));
            d = unit(sharp - o);
        }
        V c = seen(sc, shapes, o, d, dice, 5);
        float top = fmaxf(c.x, fmaxf(c.y, c.z));
        if (top > 3) c = c * (3 / top);  // a spark would outshine the rest
        sum = sum + c;
    }
    rgb[0] = sum.x / samples;
    rgb[1] = sum.y / samples;
    rgb[2] = sum.z / samples;
    float px = (2 * (x + 0.5f) / size - 1) * half + sc[15], py = (2 * (y + 0.5f) / size - 1) * half + sc[16];
    Hit h = nearest(sc, shapes, eye, unit(ahead + right * px + down * py));
    *part = (uint8_t)(h.t > 1e29f ? 0 : h.copy > 0 ? 20 + h.part : h.part);
}

#ifdef __CUDACC__
__global__ void draw(const float* scenes, const float* shapes, int size, int samples, float* rgb, uint8_t* parts) {
    int i = blockIdx.x * blockDim.x + threadIdx.x, scene = blockIdx.y;
    if (i >= size * size) return;
    long at = (long)scene * size * size + i;
    pixel(scenes + (long)scene * SCENE, shapes, size, samples, i % size, i / size, rgb + 3 * at, parts + at);
}
extern "C" int render(const float* scenes, const float* shapes, int count, int size, int samples, float* rgb, uint8_t* parts) {
    draw<<<dim3((size * size + 127) / 128, count), 128>>>(scenes, shapes, size, samples, rgb, parts);
    cudaError_t e = cudaDeviceSynchronize();
    return e == cudaSuccess ? (int)cudaGetLastError() : (int)e;
}
#else
extern "C" int render(const float* scenes, const float* shapes, int count, int size, int samples, float* rgb, uint8_t* parts) {
#pragma omp parallel for schedule(dynamic, 64)
    for (long i = 0; i < (long)count * size * size; i++) {
        long scene = i / (size * size);
        int at = (int)(i % (size * size));
        pixel(scenes + scene * SCENE, shapes, size, samples, at % size, at / size, rgb + 3 * i, parts + i);
    }
    return 0;
}
#endif
