//! Surfaces as meshes before a pinhole camera with a lens.

use super::label::Label;

pub type Point = [f64; 3];

/// What a label is put on; lengths in modules.
#[derive(Clone, Copy)]
pub enum Shape {
    Plane,
    /// A hose of a radius, its axis bent by so much (1 / radius of the arc)
    /// towards an angle in its cross-section.
    Hose {
        radius: f64,
        bend: f64,
        towards: f64,
    },
}

/// A label on a surface before the camera.
pub struct Body<'a> {
    pub label: Option<&'a Label>,
    pub shape: Shape,
    /// How the label is turned on the surface, radians.
    pub askew: f64,
    /// From the surface's axes to the camera's.
    pub rotation: [[f64; 3]; 3],
    pub at: Point,
    pub grey: f64,
    pub ribs: f64,
    pub gloss: f64,
    pub label_gloss: f64,
}

/// A pinhole camera whose lens bends lines by `k1` (Brown's first coefficient,
/// about distances in focal lengths), and whose rows are read one after the
/// other while the picture moves by `roll` pixels a frame.
pub struct Camera {
    pub width: f64,
    pub height: f64,
    pub focal: f64,
    pub k1: f64,
    pub roll: (f64, f64),
}

impl Camera {
    pub fn project(&self, p: Point) -> (f64, f64) {
        let (x, y) = (p[0] / p[2], p[1] / p[2]);
        let lens = 1.0 + self.k1 * (x * x + y * y);
        let (x, y) =
            (self.width / 2.0 + self.focal * x * lens, self.height / 2.0 + self.focal * y * lens);
        let y = self.height / 2.0 + (y - self.height / 2.0) / (1.0 - self.roll.1 / self.height);
        (x + self.roll.0 * (y / self.height - 0.5), y)
    }
}

pub fn turned(about: usize, angle: f64) -> [[f64; 3]; 3] {
    let (s, c) = angle.sin_cos();
    let mut m = [[0.0; 3]; 3];
    let (i, j) = ((about + 1) % 3, (about + 2) % 3);
    m[about][about] = 1.0;
    m[i][i] = c;
    m[i][j] = -s;
    m[j][i] = s;
    m[j][j] = c;
    m
}

pub fn times(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    [0, 1, 2].map(|i: usize| [0, 1, 2].map(|j: usize| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
}

pub fn apply(m: &[[f64; 3]; 3], p: Point) -> Point {
    [0, 1, 2].map(|i: usize| (0..3).map(|k| m[i][k] * p[k]).sum())
}

pub fn unit(p: Point) -> Point {
    let length = p.iter().map(|v| v * v).sum::<f64>().sqrt().max(1e-12);
    p.map(|v| v / length)
}

pub fn dot(a: Point, b: Point) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl Shape {
    /// The place of (along the girth, along the axis), and the outward normal.
    fn point(&self, a: f64, s: f64) -> (Point, Point) {
        let Self::Hose { radius, bend, towards } = *self else {
            return ([a, s, 0.0], [0.0, 0.0, -1.0]);
        };
        let theta = a / radius;
        let out = [theta.sin(), 0.0, -theta.cos()];
        if bend.abs() < 1e-9 {
            let place = [radius * out[0], s, radius + radius * out[2]];
            return (place, out);
        }
        let d = [towards.cos(), 0.0, towards.sin()];
        let b = [-d[2], 0.0, d[0]];
        let arc = 1.0 / bend;
        let (sin, cos) = (s / arc).sin_cos();
        let n = [cos * d[0], -sin, cos * d[2]];
        let (od, ob) = (dot(out, d), dot(out, b));
        let normal = [0, 1, 2].map(|i: usize| od * n[i] + ob * b[i]);
        let axis = [arc * (1.0 - cos) * d[0], arc * sin, radius + arc * (1.0 - cos) * d[2]];
        ([0, 1, 2].map(|i: usize| axis[i] + radius * normal[i]), normal)
    }
}

#[derive(Clone, Copy)]
struct Vertex {
    x: f64,
    y: f64,
    depth: f64,
    a: f64,
    s: f64,
    normal: Point,
}

/// A picture that bodies are drawn into, several samples a pixel.
pub struct Canvas {
    pub width: usize,
    pub height: usize,
    pub grey: Vec<f32>,
    pub depth: Vec<f32>,
    /// Samples a pixel each way.
    pub samples: usize,
}

/// Where light comes from, and how much of it is everywhere.
pub struct Light {
    pub from: Point,
    pub ambient: f64,
}

impl Body<'_> {
    /// How much light the label gives back at a place of the surface; `None`
    /// beside it.
    fn on_label(&self, a: f64, s: f64) -> Option<f64> {
        let (sin, cos) = self.askew.sin_cos();
        self.label.and_then(|l| l.albedo(cos * a + sin * s, cos * s - sin * a))
    }

    /// Where a place of the label, in modules from its middle, is seen.
    pub fn seen(&self, camera: &Camera, u: f64, v: f64) -> (f64, f64) {
        let (sin, cos) = self.askew.sin_cos();
        let (place, _) = self.shape.point(u * cos - v * sin, u * sin + v * cos);
        let p = apply(&self.rotation, place);
        camera.project([p[0] + self.at[0], p[1] + self.at[1], p[2] + self.at[2]])
    }
}

/// What of a body is drawn.
#[derive(Clone, Copy, PartialEq)]
pub enum Draw {
    All,
    /// Only how far away it is.
    Depth,
    /// The label alone, if nothing is before it.
    Label,
}

impl Canvas {
    pub fn body(&mut self, body: &Body<'_>, camera: &Camera, light: &Light, draw: Draw) {
        let (reach_a, reach_s, steps_a, steps_s) = match (body.shape, body.label) {
            (Shape::Plane, Some(label)) => (label.half, label.down.max(label.half), 24, 24),
            (Shape::Plane, None) => (20.0, 20.0, 8, 8),
            (Shape::Hose { radius, bend, .. }, _) => {
                let long = if bend > 0.0 { (1.2 / bend).min(260.0) } else { 260.0 };
                (std::f64::consts::PI * radius, long, 112, if bend > 0.0 { 160 } else { 60 })
            }
        };
        let vertex = |i: usize, j: usize| {
            let a = reach_a * (2.0 * i as f64 / steps_a as f64 - 1.0);
            let s = reach_s * (2.0 * j as f64 / steps_s as f64 - 1.0);
            let (place, normal) = body.shape.point(a, s);
            let p = apply(&body.rotation, place);
            let p = [p[0] + body.at[0], p[1] + body.at[1], p[2] + body.at[2]];
            if p[2] < 8.0 {
                return None;
            }
            let (x, y) = camera.project(p);
            Some(Vertex { x, y, depth: p[2], a, s, normal: apply(&body.rotation, normal) })
        };
        let row = |j: usize| (0..=steps_a).map(|i| vertex(i, j)).collect::<Vec<_>>();
        let mut above = row(0);
        for j in 1..=steps_s {
            let below = row(j);
            for i in 0..steps_a {
                let quad = [above[i], above[i + 1], below[i], below[i + 1]];
                if let [Some(a), Some(b), Some(c), Some(d)] = quad {
                    self.triangle(&[a, b, c], body, light, draw);
                    self.triangle(&[b, d, c], body, light, draw);
                }
            }
            above = below;
        }
    }

    fn triangle(&mut self, t: &[Vertex; 3], body: &Body<'_>, light: &Light, draw: Draw) {
        let n = self.samples as f64;
        let [p, q, r] = t.map(|v| (v.x * n - 0.5, v.y * n - 0.5));
        let area = (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
        if area.abs() < 1e-9 {
            return;
        }
        let (w, h) = (self.width * self.samples, self.height * self.samples);
        let least = |a: f64, b: f64, c: f64| a.min(b).min(c).ceil().max(0.0) as usize;
        let most = |a: f64, b: f64, c: f64, end: usize| {
            let v = a.max(b).max(c).floor();
            if v < 0.0 { 0 } else { (v as usize + 1).min(end) }
        };
        for y in least(p.1, q.1, r.1)..most(p.1, q.1, r.1, h) {
            for x in least(p.0, q.0, r.0)..most(p.0, q.0, r.0, w) {
                let (fx, fy) = (x as f64, y as f64);
                let b = ((fx - p.0) * (r.1 - p.1) - (fy - p.1) * (r.0 - p.0)) / area;
                let c = ((q.0 - p.0) * (fy - p.1) - (q.1 - p.1) * (fx - p.0)) / area;
                let weights = [1.0 - b - c, b, c];
                if weights.iter().any(|w| *w < -1e-6) {
                    continue;
                }
                let mix = |of: &dyn Fn(&Vertex) -> f64| {
                    weights.iter().zip(t).map(|(w, v)| w * of(v)).sum::<f64>()
                };
                let depth = mix(&|v| v.depth) as f32;
                let at = y * w + x;
                let (a, s) = (mix(&|v| v.a), mix(&|v| v.s));
                let drawn = match draw {
                    Draw::All | Draw::Depth => depth < self.depth[at],
                    Draw::Label => depth <= self.depth[at] && body.on_label(a, s).is_some(),
                };
                if !drawn {
                    continue;
                }
                self.depth[at] = depth;
                if draw != Draw::Depth {
                    let normal = [0, 1, 2].map(|k: usize| mix(&|v| v.normal[k]));
                    self.grey[at] = shade(body, light, a, s, normal) as f32;
                }
            }
        }
    }
}

fn shade(body: &Body<'_>, light: &Light, a: f64, s: f64, normal: Point) -> f64 {
    let on_label = body.on_label(a, s);
    let rib = 1.0 + 0.12 * (s * body.ribs + a * 0.4).sin();
    let (albedo, gloss) = on_label.map_or((body.grey * rib, body.gloss), |v| (v, body.label_gloss));
    let normal = unit(normal);
    let diffuse = dot(normal, light.from).max(0.0);
    // Blinn's half vector, the viewer straight before the picture.
    let half = unit([light.from[0], light.from[1], light.from[2] - 1.0]);
    let shine = gloss * dot(normal, half).max(0.0).powi(60);
    albedo * (light.ambient + (1.0 - light.ambient) * diffuse) + shine
}
