//! Filters over grey pictures, each in one pass over the rows and one over the
//! columns.

use super::picture::Grey;

/// Each pixel becomes the weighted mean (1-2-1 both ways) of its 3 × 3.
pub(super) fn smooth(grey: &mut Grey) {
    let row = usize::try_from(grey.width).unwrap_or(1).max(1);
    let mean = |a: u8, b: u8, c: u8| {
        let sum = u16::from(a) + 2 * u16::from(b) + u16::from(c) + 2;
        u8::try_from(sum / 4).unwrap_or(255)
    };
    for line in grey.luma.chunks_mut(row) {
        let mut before = line.first().copied().unwrap_or(0);
        let after: Vec<u8> = line.iter().skip(1).chain(line.last()).copied().collect();
        for (pixel, after) in line.iter_mut().zip(after) {
            let here = *pixel;
            *pixel = mean(before, here, after);
            before = here;
        }
    }
    let source = grey.luma.clone();
    let last = source.len().saturating_sub(row);
    for (at, pixel) in grey.luma.iter_mut().enumerate() {
        let above = source.get(at.saturating_sub(row)).filter(|_| at >= row);
        let below = source.get(at + row).filter(|_| at < last);
        *pixel = mean(*above.unwrap_or(pixel), *pixel, *below.unwrap_or(pixel));
    }
}

/// Each pixel becomes its distance from the mean around it, in units of the
/// spread around it, about a middle grey: uneven light and faded print go away.
/// The neighbourhood is a square of a twelfth of the shorter side.
pub(super) fn level(grey: &mut Grey) {
    let radius = (grey.width.min(grey.height) / 24).clamp(4, 40);
    let mean = box_mean(grey, &grey.luma, radius);
    let distance: Vec<u8> =
        grey.luma.iter().zip(&mean).map(|(pixel, mean)| pixel.abs_diff(*mean)).collect();
    let spread = box_mean(grey, &distance, radius);
    for ((pixel, mean), spread) in grey.luma.iter_mut().zip(mean).zip(spread) {
        let away = (i32::from(*pixel) - i32::from(mean)) * 64 / i32::from(spread.max(4));
        *pixel = u8::try_from((128 + away).clamp(0, 255)).unwrap_or(128);
    }
}

/// The mean of the square of so many pixels to each side, cut off at the edges.
fn box_mean(grey: &Grey, values: &[u8], radius: u32) -> Vec<u8> {
    let [row, radius] = [grey.width.max(1), radius].map(|n| usize::try_from(n).unwrap_or(1));
    let across: Vec<u8> = values.chunks(row).flat_map(|line| running_mean(line, radius)).collect();
    let high = across.len() / row;
    let mut sums = vec![0_u32; row];
    let mut lines = 0;
    let line_at = |at: usize| across.get(at * row..(at + 1) * row).unwrap_or_default();
    let mut means = Vec::with_capacity(across.len());
    for at in 0..high + radius {
        if at < high {
            sums.iter_mut().zip(line_at(at)).for_each(|(sum, v)| *sum += u32::from(*v));
            lines += 1;
        }
        if at > 2 * radius {
            let gone = line_at(at - 2 * radius - 1);
            sums.iter_mut().zip(gone).for_each(|(sum, v)| *sum -= u32::from(*v));
            lines -= 1;
        }
        if at >= radius {
            means.extend(sums.iter().map(|sum| u8::try_from(sum / lines.max(1)).unwrap_or(255)));
        }
    }
    means
}

fn running_mean(line: &[u8], radius: usize) -> Vec<u8> {
    let (mut sum, mut count) = (0_u32, 0_u32);
    let mut means = Vec::with_capacity(line.len());
    for at in 0..line.len() + radius {
        if let Some(comes) = line.get(at) {
            sum += u32::from(*comes);
            count += 1;
        }
        let goes = at.checked_sub(2 * radius + 1).and_then(|goes| line.get(goes));
        if let Some(gone) = goes {
            sum -= u32::from(*gone);
            count -= 1;
        }
        if at >= radius {
            means.push(u8::try_from(sum / count.max(1)).unwrap_or(255));
        }
    }
    means
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grey(width: u32, luma: &[u8]) -> Grey {
        let height = u32::try_from(luma.len()).unwrap_or(0) / width;
        Grey { width, height, luma: luma.to_vec() }
    }

    #[test]
    fn the_mean_of_a_square_is_cut_off_at_the_edges() {
        let line = [0, 10, 20, 30, 40];
        assert_eq!(running_mean(&line, 1), [5, 10, 20, 30, 35]);
        assert_eq!(running_mean(&line, 9), [20; 5]);
        let square = grey(3, &[0, 0, 0, 0, 90, 0, 0, 0, 0]);
        // Rows first: 0, 0, 0 then 45, 30, 45 then 0, 0, 0.
        assert_eq!(box_mean(&square, &square.luma, 1), [22, 15, 22, 15, 10, 15, 22, 15, 22]);
    }

    #[test]
    fn smoothing_keeps_an_even_grey_and_spreads_a_dot() {
        let mut even = grey(4, &[77; 12]);
        smooth(&mut even);
        assert_eq!(even.luma, [77; 12]);
        let mut dot = grey(3, &[0, 0, 0, 0, 160, 0, 0, 0, 0]);
        smooth(&mut dot);
        assert_eq!(dot.luma, [10, 20, 10, 20, 40, 20, 10, 20, 10]);
    }

    #[test]
    fn levelling_takes_a_slope_of_light_away() {
        // Stripes of 8 pixels on light that falls to a quarter.
        let pixel = |x: u32| {
            let light = 240 - 180 * x / 255;
            u8::try_from(if (x / 8).is_multiple_of(2) { light } else { light * 6 / 10 })
                .unwrap_or(0)
        };
        let luma: Vec<u8> = (0..96).flat_map(|_| (0..256).map(pixel)).collect();
        let mut picture = grey(256, &luma);
        level(&mut picture);
        for x in (12..244).filter(|x| x % 8 == 4) {
            let at = picture.luma.get(usize::try_from(48 * 256 + x).unwrap_or(0)).copied();
            let light = (x / 8) & 1 == 0;
            assert!(at.is_some_and(|v| (v > 128) == light), "{x} {at:?}");
        }
    }
}
