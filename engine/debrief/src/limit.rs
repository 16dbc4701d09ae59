//! Limits on a chart: the line, its label, and the wrong side hatched.

use crate::axis::Axis;
use crate::page::{Side, TrendLimit};
use crate::svg::Svg;
use crate::words::number;
use base::record::Channel;

/// The wrong side of a limit, hatched.
pub fn wrong_area(svg: &mut Svg, id: &str, limit: &TrendLimit, axis: &Axis, top: u32, bottom: u32) {
    let pattern = format!("{id}-wrong");
    svg.open("defs", &[]);
    svg.open(
        "pattern",
        &[
            ("id", &pattern),
            ("width", &7),
            ("height", &7),
            ("patternUnits", &"userSpaceOnUse"),
            ("patternTransform", &"rotate(45)"),
        ],
    );
    svg.leaf("rect", &[("class", &"wrong"), ("width", &1), ("height", &7)]);
    svg.close();
    svg.close();
    let at = f64::from(bottom) - axis.up(limit.value) * f64::from(bottom - top);
    let (from, to) = match limit.wrong {
        Side::Above => (f64::from(top), at),
        Side::Below => (at, f64::from(bottom)),
    };
    svg.leaf(
        "rect",
        &[
            ("x", &"0"),
            ("width", &"100%"),
            ("y", &number(from, 1)),
            ("height", &number((to - from).max(0.0), 1)),
            ("fill", &format!("url(#{pattern})")),
        ],
    );
}

/// Whether a limit's label would cover the lines less at the end of the run than at its beginning.
fn label_at_end(limit: &TrendLimit, axis: &Axis, layers: &[&Channel]) -> bool {
    // Half the height of a label as a part of the chart's; it takes about a third of a phone's width.
    let half = match limit.wrong {
        Side::Above => -0.06,
        Side::Below => 0.06,
    };
    let label = axis.up(limit.value) + half;
    let room = |late: bool| {
        let near = layers.iter().flat_map(|c| {
            let third = c.values.len().div_ceil(3);
            if late { &c.values[c.values.len() - third..] } else { &c.values[..third] }
        });
        near.filter(|v| v.is_finite()).map(|v| (axis.up(*v) - label).abs()).fold(1.0, f64::min)
    };
    room(true) > room(false)
}

/// Where a limit's label stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// At the end of the run, otherwise at its beginning.
    at_end: bool,
    /// Above its line, otherwise below.
    above: bool,
}

impl Spot {
    /// From the line to the foot of the letters, pixels.
    fn dy(self) -> i32 {
        if self.above { -4 } else { 12 }
    }
}

/// A place for each label: where it covers the lines least, unless another label or another limit's line is there
/// already. What is to be kept chooses before the set-points of alarms do.
pub fn spots(limits: &[&TrendLimit], axis: &Axis, layers: &[&Channel], height: u32) -> Vec<Spot> {
    let y = |l: &TrendLimit| f64::from(height) * (1.0 - axis.up(l.value));
    // Letters reach from their foot up by some eight pixels.
    let middle = |l: &TrendLimit, s: Spot| y(l) + f64::from(s.dy()) - 4.0;
    let mut spots: Vec<Option<Spot>> = vec![None; limits.len()];
    let mut order: Vec<usize> = (0..limits.len()).collect();
    order.sort_by_key(|i| limits[*i].alarm);
    for i in order {
        let own = limits[i];
        let end = label_at_end(own, axis, layers);
        // On the right side of its line, so that the hatching does not cross it; an alarm has none.
        let above = own.wrong == Side::Below;
        let both = [above, !above];
        let sides = if own.alarm { &both[..] } else { &both[..1] };
        let cost = |s: &Spot| {
            let at = middle(own, *s);
            let labels = limits.iter().zip(&spots).filter_map(|(l, taken)| Some((*l, (*taken)?)));
            let hidden = labels.filter(|(l, t)| t.at_end == s.at_end && (middle(l, *t) - at).abs() < 14.0).count();
            let others = limits.iter().enumerate().filter(|(k, _)| *k != i);
            let crossed = others.filter(|(_, l)| (y(l) - at).abs() < 6.0).count();
            let outside = at < 4.0 || at > f64::from(height) - 4.0;
            2 * hidden + crossed + usize::from(outside)
        };
        let all =
            [end, !end].into_iter().flat_map(|at_end| sides.iter().map(move |above| Spot { at_end, above: *above }));
        // Of equals the first.
        spots[i] = all.min_by_key(cost);
    }
    spots.into_iter().flatten().collect()
}

/// A limit's line with its label.
pub fn line(svg: &mut Svg, limit: &TrendLimit, at: &str, spot: Spot) {
    let class = if limit.alarm { "setpoint" } else { "limit" };
    svg.leaf("line", &[("class", &class), ("x1", &"0"), ("x2", &"100%"), ("y1", &at), ("y2", &at)]);
    let (x, dx, anchor) = if spot.at_end { ("100%", -4, "end") } else { ("0", 4, "start") };
    svg.text(
        "text",
        &[("class", &class), ("x", &x), ("dx", &dx), ("y", &at), ("dy", &spot.dy()), ("text-anchor", &anchor)],
        &limit.label,
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::record::Layer;

    #[test]
    fn a_label_stands_where_the_line_does_not_run() {
        let axis = Axis::around(0.0, 10.0);
        let limit = |wrong| TrendLimit {
            tag: "LT-1".into(),
            layer: Layer::Actual,
            value: 5.0,
            label: "kept".into(),
            wrong,
            alarm: false,
        };
        let run = |values: Vec<f64>| Channel {
            tag: "LT-1".into(),
            name: String::new(),
            layer: Layer::Actual,
            unit: "mm".into(),
            every: 10,
            values,
        };
        let (falling, rising) = (run(vec![5.0, 4.5, 4.0, 1.0, 1.0, 1.0]), run(vec![1.0, 1.0, 4.0, 4.5, 4.5, 4.5]));
        assert!(label_at_end(&limit(Side::Above), &axis, &[&falling]));
        assert!(!label_at_end(&limit(Side::Above), &axis, &[&rising]));
        assert!(!label_at_end(&limit(Side::Above), &axis, &[&run(vec![])]));
    }

    #[test]
    fn labels_that_would_cover_each_other_stand_apart() {
        let limit = |value, wrong, alarm| TrendLimit {
            tag: "LT-1".into(),
            layer: Layer::Actual,
            value,
            label: "kept".into(),
            wrong,
            alarm,
        };
        let axis = Axis::around(-200.0, 400.0);
        // Kept above -140 with an alarm at -90: on 136 pixels their labels would lie on each other.
        let (kept, alarm) = (limit(-140.0, Side::Below, false), limit(-90.0, Side::Below, true));
        let spots = spots(&[&alarm, &kept], &axis, &[], 136);
        assert_eq!(spots[1], Spot { at_end: false, above: true });
        assert_eq!(spots[0], Spot { at_end: true, above: true });
        // A line across the letters is as bad: kept below 9 with an alarm at 11.
        let axis = Axis::around(-10.0, 15.0);
        let (kept, alarm) = (limit(9.0, Side::Above, false), limit(11.0, Side::Above, true));
        let spots = super::spots(&[&kept, &alarm], &axis, &[], 136);
        assert_eq!(spots, [Spot { at_end: false, above: false }, Spot { at_end: false, above: true }]);
        // The same value twice: one at each end.
        let spots = super::spots(&[&kept, &kept], &axis, &[], 136);
        assert_eq!(spots.iter().map(|s| s.at_end).collect::<Vec<_>>(), [false, true]);
    }
}
