//! Drawing one tag: how many printer dots a module takes, what that allows, and
//! the picture as SVG, PNG or PDF.

mod error;
mod plan;
mod render;
mod size;

pub use error::{DrawError, EASY_MODULE_MM, LEAST_DOTS, LEAST_MODULE_MM};
pub use plan::{Plan, QUIET_ZONE, Symbol, badge, plan, plan_with_base};
pub use render::{pdf, png, svg};
pub use size::{Level, PrinterDpi, SizeError, TagSize};

pub(super) use plan::whole;
#[cfg(feature = "photo")]
pub(super) use render::label;
pub(super) use render::{HEIGHT, draw_tag, svg_many};

#[cfg(test)]
mod tests;
