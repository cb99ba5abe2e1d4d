//! Pictures of numbers: bars and survival curves, as SVG in the page's own ink.
//!
//! They are drawn with plotters in two inks, which then become the colour of
//! the text around them: a picture is as readable on a dark page as on a light
//! one. A table with the same numbers always is beside it.

use std::fmt::Display;

use hosewright_core::fleet::survival::Survival;
use maud::{Markup, PreEscaped, html};
use plotters::coord::Shift;
use plotters::prelude::{
    ChartBuilder, Color, DashedLineSeries, DrawingArea, IntoDrawingArea, IntoFont, LineSeries,
    RGBColor, Rectangle, SVGBackend, ShapeStyle, TextStyle,
};

use crate::refusal::Refusal;

/// Stands for the page's ink until the picture is made.
const INK: RGBColor = RGBColor(1, 2, 3);
/// As wide as a phone's screen, where its type is about 18 pixels high; it grows
/// on a wider one.
const SIZE: (u32, u32) = (320, 270);
/// What a bar with its number needs.
const BAR: u32 = 44;
/// The library writes type in four fifths of the size that it is given.
const TYPE: i32 = 24;
const DAYS_A_YEAR: f64 = 365.25;

type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// How many of each: bars with their numbers above.
pub fn bars(title: &str, bars: &[(String, u32)]) -> Result<Markup, Refusal> {
    let most = bars.iter().map(|(_, count)| *count).max().unwrap_or(0).max(1);
    let count = u32::try_from(bars.len()).unwrap_or(u32::MAX);
    let wide = SIZE.0.max(count.saturating_mul(BAR));
    drawn(title, (wide, SIZE.1), |area| {
        let mut chart = ChartBuilder::on(area)
            .margin(4)
            .margin_top(34)
            .x_label_area_size(34)
            .build_cartesian_2d(0.0..f64::from(count.max(1)), 0.0..f64::from(most))
            .map_err(failed)?;
        let style = text(TYPE);
        chart.configure_mesh().disable_mesh().disable_axes().draw().map_err(failed)?;
        let mut left = 0.0;
        for (name, count) in bars {
            let (from, to) = (left + 0.12, left + 0.88);
            let height = f64::from(*count);
            let bar = Rectangle::new([(from, 0.0), (to, height)], INK.mix(0.75).filled());
            chart.draw_series(std::iter::once(bar)).map_err(failed)?;
            let (x, top) = chart.backend_coord(&(left + 0.5, height));
            let (_, foot) = chart.backend_coord(&(left + 0.5, 0.0));
            centred(area, &count.to_string(), &style, (x, top - 26))?;
            centred(area, name, &style, (x, foot + 8))?;
            left += 1.0;
        }
        Ok(())
    })
}

/// The years that curves reach, so that all can have one scale: whole ones, so that each
/// mark on the axis is one.
pub fn years<'s>(curves: impl IntoIterator<Item = &'s Survival>) -> u32 {
    let last = curves.into_iter().filter_map(|curve| curve.steps.last()).map(|step| step.days);
    last.max().unwrap_or(0) / 365 + 1
}

/// The share that lasts, in percent by years, as steps with their band; beside that of all,
/// dashed.
pub fn survival(
    title: &str,
    survival: &Survival,
    (years, all): (u32, Option<&Survival>),
) -> Result<Markup, Refusal> {
    drawn(title, SIZE, |area| {
        let mut chart = ChartBuilder::on(area)
            .margin(6)
            .margin_top(16)
            .margin_right(14)
            .x_label_area_size(34)
            .y_label_area_size(50)
            .build_cartesian_2d(0.0..f64::from(years), 0.0..100.0)
            .map_err(failed)?;
        chart
            .configure_mesh()
            .x_labels(usize::try_from(years + 1).unwrap_or(2).clamp(2, 7))
            .y_labels(3)
            .x_label_formatter(&|year| format!("{year:.0}"))
            .y_label_formatter(&|percent| format!("{percent:.0}"))
            .axis_style(INK)
            .bold_line_style(INK.mix(0.25))
            .light_line_style(INK.mix(0.0))
            .label_style(text(TYPE))
            .draw()
            .map_err(failed)?;
        let mut band = steps(survival, |step| step.upper);
        band.extend(steps(survival, |step| step.lower).into_iter().rev());
        let band = plotters::element::Polygon::new(band, INK.mix(0.22).filled());
        chart.draw_series(std::iter::once(band)).map_err(failed)?;
        if let Some(all) = all {
            let corners = steps(all, |step| step.survival).into_iter();
            let dashed = DashedLineSeries::new(corners, 5, 5, thick(2));
            chart.draw_series(dashed).map_err(failed)?;
        }
        let curve = LineSeries::new(steps(survival, |step| step.survival), thick(4));
        chart.draw_series(curve).map_err(failed)?;
        Ok(())
    })
}

/// The corners of a curve that goes down in steps, in years and percent.
fn steps(
    survival: &Survival,
    of: impl Fn(&hosewright_core::fleet::survival::Step) -> f64,
) -> Vec<(f64, f64)> {
    let mut corners = vec![(0.0, 100.0)];
    let mut before = 100.0;
    for step in &survival.steps {
        let year = f64::from(step.days) / DAYS_A_YEAR;
        corners.push((year, before));
        before = of(step) * 100.0;
        corners.push((year, before));
    }
    corners
}

fn thick(width: u32) -> ShapeStyle {
    ShapeStyle { color: INK.to_rgba(), filled: false, stroke_width: width }
}

fn text(size: i32) -> TextStyle<'static> {
    ("sans-serif", size).into_font().color(&INK)
}

fn centred(
    area: &Area<'_>,
    said: &str,
    style: &TextStyle<'_>,
    place: (i32, i32),
) -> Result<(), Refusal> {
    use plotters::style::text_anchor::{HPos, Pos, VPos};
    let style = style.pos(Pos::new(HPos::Center, VPos::Top));
    area.draw_text(said, &style, place).map_err(failed)
}

/// Draws, and replaces the drawing's ink with the page's.
fn drawn(
    title: &str,
    (wide, high): (u32, u32),
    draw: impl FnOnce(&Area<'_>) -> Result<(), Refusal>,
) -> Result<Markup, Refusal> {
    let mut svg = String::new();
    let area = SVGBackend::with_string(&mut svg, (wide, high)).into_drawing_area();
    draw(&area)?;
    area.present().map_err(failed)?;
    drop(area);
    let svg = svg.replace("#010203", "currentColor");
    let size = format!("width=\"{wide}\" height=\"{high}\" ");
    let broad = if wide > SIZE.0 { "class=\"broad\" " } else { "" };
    let sized = format!("{broad}aria-hidden=\"true\" focusable=\"false\" ");
    let svg = svg.replacen(&size, &sized, 1);
    let moves = (wide > SIZE.0).then_some("0");
    Ok(html! { figure.chart tabindex=[moves] { figcaption { (title) } (PreEscaped(svg)) } })
}

fn failed(error: impl Display) -> Refusal {
    Refusal::Broken(format!("a picture could not be drawn: {error}"))
}
