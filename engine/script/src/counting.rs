//! How the items of a sheet count beside each other: items in each other's place, and groups, whose marks
//! are given out by weight.

use crate::desk::Desk;
use base::sheet::{Asked, Marks};

/// Tells what cannot be of items in each other's place, and brings the items of each group to its marks.
pub fn check(desk: &mut Desk) {
    alternatives(desk);
    let groups = desk.groups.clone();
    for (name, marks, place) in groups {
        let members: Vec<usize> =
            (0..desk.items.len()).filter(|i| desk.items[*i].counts.group.as_ref() == Some(&name)).collect();
        // What comes on top and what stands in another's place has no share of its own.
        let counted = |desk: &Desk, i: usize| {
            let counts = &desk.items[i].counts;
            counts.asked != Asked::Bonus && counts.instead_of.is_none()
        };
        let sharing: Vec<usize> = members.iter().copied().filter(|i| counted(desk, *i)).collect();
        let weights: Vec<i64> = sharing.iter().map(|i| desk.items[*i].marks.0).collect();
        if weights.iter().sum::<i64>() <= 0 {
            let message = format!("no item with marks belongs to the group \"{name}\"");
            desk.wrong("script::group", &place, message, "write group = in the items that belong to it");
            continue;
        }
        let total: i64 = weights.iter().sum();
        for (i, share) in sharing.iter().zip(shares(marks, &weights)) {
            desk.items[*i].marks = share;
        }
        for i in members.into_iter().filter(|i| !sharing.contains(i)) {
            let own = i128::from(desk.items[i].marks.0) * i128::from(marks.0);
            desk.items[i].marks = Marks(((2 * own + i128::from(total)) / (2 * i128::from(total))) as i64);
        }
    }
    // One in another's place is worth what that one is worth.
    for i in 0..desk.items.len() {
        let Some(other) = desk.items[i].counts.instead_of.clone() else { continue };
        if let Some(first) = desk.items.iter().position(|o| o.name == other) {
            desk.items[i].marks = desk.items[first].marks;
        }
    }
}

fn alternatives(desk: &mut Desk) {
    let all: Vec<_> = desk.items.iter().map(|i| (i.name.clone(), i.counts.clone(), i.marks, i.place.clone())).collect();
    for (name, counts, marks, place) in &all {
        let Some(other) = &counts.instead_of else { continue };
        let Some(first) = all.iter().find(|i| i.0 == *other) else { continue };
        let at = desk.field_place(place, "instead_of");
        if first.1.instead_of.is_some() || other == name {
            let message = format!("\"{other}\" stands in another's place itself");
            desk.wrong("script::instead-of", &at, message, "name the item that is written for the first way");
        } else if first.2 != *marks {
            let message = format!("\"{name}\" has {marks} marks and \"{other}\" has {}", first.2);
            desk.wrong("script::instead-of", &at, message, "give items in each other's place the same marks");
        } else if first.1.asked != counts.asked || first.1.group != counts.group {
            let message = format!("\"{name}\" and \"{other}\" do not count in the same way");
            desk.wrong("script::instead-of", &at, message, "write the same optional, bonus and group in both");
        }
    }
}

/// Marks given out by weight, to the hundredth and exact in sum: what is left over by rounding down goes to
/// the largest remainders, of equal ones to the first.
fn shares(marks: Marks, weights: &[i64]) -> Vec<Marks> {
    let total: i128 = weights.iter().map(|w| i128::from(*w)).sum();
    let exact = |w: &i64| i128::from(marks.0) * i128::from(*w);
    let mut shares: Vec<i64> = weights.iter().map(|w| (exact(w) / total) as i64).collect();
    let left = marks.0 - shares.iter().sum::<i64>();
    let mut by_remainder: Vec<usize> = (0..weights.len()).collect();
    by_remainder.sort_by_key(|i| std::cmp::Reverse(exact(&weights[*i]) % total));
    for i in by_remainder.into_iter().take(left.max(0) as usize) {
        shares[i] += 1;
    }
    shares.into_iter().map(Marks).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_exact_in_sum() {
        let of = |marks, weights: &[i64]| shares(Marks(marks), weights).iter().map(|m| m.0).collect::<Vec<_>>();
        assert_eq!(of(1000, &[100, 200]), [333, 667]);
        assert_eq!(of(1000, &[100, 100, 100]), [334, 333, 333]);
        assert_eq!(of(7, &[1, 1, 1, 1]), [2, 2, 2, 1]);
        assert_eq!(of(0, &[3, 4]), [0, 0]);
    }
}
