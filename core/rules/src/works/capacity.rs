//! How many strands an anchorage takes, and whether it contradicts itself.

use restrand_model::schedule::Anchorage;

/// Whether an anchorage takes a number of strands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Capacity {
    /// The anchorage states neither holes nor counts.
    Unknown,
    /// It takes them; fewer than it is listed for always fit.
    Enough,
    /// The anchorage contradicts itself about this count.
    Contradicts {
        /// The most strands that it is listed for.
        listed: u32,
        /// The holes of its wedge plate.
        holes: u32,
    },
    /// It takes no more than this.
    Short(u32),
}

/// The most strands that an anchorage takes, as far as it is stated.
pub(crate) fn most_strands(anchorage: &Anchorage) -> Option<u32> {
    let listed = anchorage.strand_counts.iter().copied().max();
    anchorage.wedge_plate_holes.into_iter().chain(listed).min()
}

/// The largest listed count, if it is more than the wedge plate's holes.
pub(crate) fn listed_over_holes(anchorage: &Anchorage) -> Option<u32> {
    let most = anchorage.strand_counts.iter().copied().max()?;
    (most > anchorage.wedge_plate_holes?).then_some(most)
}

/// Whether an anchorage takes this many strands.
#[must_use]
pub fn capacity(anchorage: &Anchorage, count: u32) -> Capacity {
    let Some(most) = most_strands(anchorage) else {
        return Capacity::Unknown;
    };
    let contradiction = listed_over_holes(anchorage).zip(anchorage.wedge_plate_holes);
    match contradiction {
        _ if count <= most => Capacity::Enough,
        Some((listed, holes)) if count <= listed => Capacity::Contradicts { listed, holes },
        _ => Capacity::Short(most),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn anchorage(holes: Option<u32>, counts: &[u32]) -> Anchorage {
        Anchorage {
            wedge_plate_holes: holes,
            strand_counts: counts.to_vec(),
            ..Anchorage::default()
        }
    }

    #[test]
    fn as_many_strands_as_holes_fit_and_one_more_does_not() {
        let nineteen = anchorage(Some(19), &[15, 19]);
        assert_eq!(capacity(&nineteen, 18), Capacity::Enough);
        assert_eq!(capacity(&nineteen, 19), Capacity::Enough);
        assert_eq!(capacity(&nineteen, 20), Capacity::Short(19));
        assert_eq!(capacity(&anchorage(Some(19), &[15]), 16), Capacity::Short(15));
        assert_eq!(capacity(&anchorage(None, &[]), 1), Capacity::Unknown);
    }

    #[test]
    fn a_count_that_the_anchorage_lists_over_its_holes_is_the_anchorages_fault() {
        let slip = anchorage(Some(18), &[15, 19]);
        assert_eq!(capacity(&slip, 18), Capacity::Enough);
        assert_eq!(capacity(&slip, 19), Capacity::Contradicts { listed: 19, holes: 18 });
        assert_eq!(capacity(&slip, 20), Capacity::Short(18));
    }
}
