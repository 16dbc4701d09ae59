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
pub fn label_at_end(limit: &TrendLimit, axis: &Axis, layers: &[&Channel]) -> bool {
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

/// A limit's line with its label.
pub fn line(svg: &mut Svg, limit: &TrendLimit, at: &str, at_end: bool) {
    let class = if limit.alarm { "setpoint" } else { "limit" };
    svg.leaf("line", &[("class", &class), ("x1", &"0"), ("x2", &"100%"), ("y1", &at), ("y2", &at)]);
    // The label stands on the right side of its line, so that the hatching does not cross it.
    let dy = match limit.wrong {
        Side::Above => 12,
        Side::Below => -4,
    };
    let (x, dx, anchor) = if at_end { ("100%", -4, "end") } else { ("0", 4, "start") };
    svg.text(
        "text",
        &[("class", &class), ("x", &x), ("dx", &dx), ("y", &at), ("dy", &dy), ("text-anchor", &anchor)],
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
}
