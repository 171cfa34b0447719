//! How big a bird is: whether a body mass can be a bird's at all, which class it falls in, and how it compares with
//! what is published for its kind.

use super::input::{Unusable, above_zero, within};
use super::span::Span;

/// Least body mass the figures take, in grams. Our own choice: the smallest parrots of the wild weigh about as much
/// (AVONET, Tobias and others 2022), and none of them lives in homes.
pub const LEAST_BODY_G: f64 = 10.0;

/// Greatest body mass the figures take, in grams. Our own choice: over three times the mean of the heaviest parrot kept, and
/// above the 4.6 kg bird of a printed worked example that the energy figures are tested on.
pub const MOST_BODY_G: f64 = 5000.0;

/// Body mass, in grams, at which a bird stops being small. Common practice, no source.
pub const MEDIUM_FROM_G: f64 = 120.0;

/// Body mass, in grams, above which a bird is large. Common practice, no source.
pub const LARGE_ABOVE_G: f64 = 500.0;

/// Greatest mean adult mass of a kind, in grams, that counts as small. USDA APHIS, list of pet birds, 19 February 2024.
pub const US_SMALL_UP_TO_G: f64 = 250.0;

/// Share of the least published mean below which a weighing is not believed. Our own choice, no source.
const LEAST_SHARE_OF_PUBLISHED: f64 = 0.5;

/// Multiple of the greatest published mean above which a weighing is not believed. Our own choice, no source.
const MOST_MULTIPLE_OF_PUBLISHED: f64 = 2.0;

/// Size class of a bird by its body mass. Common practice, no source: what a perch, a toy or a reward is chosen by, and
/// never an enclosure law, which goes by body length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SizeClass {
    /// Under 120 g: budgerigar, lovebirds, cockatiel.
    Small,
    /// From 120 g to 500 g, both included: monk parakeet, African grey, galah.
    Medium,
    /// Over 500 g: large cockatoos and macaws.
    Large,
}

/// A body mass, in grams, that a companion bird can have: from [`LEAST_BODY_G`] to [`MOST_BODY_G`], both included.
///
/// # Errors
/// [`Unusable::NotFinite`], [`Unusable::NotAboveZero`] or [`Unusable::OutOfRange`].
pub fn usable_body_g(body_g: f64) -> Result<f64, Unusable> {
    within(above_zero(body_g)?, LEAST_BODY_G, MOST_BODY_G)
}

/// A range of body masses, in grams, with both ends usable and in order.
///
/// # Errors
/// Those of [`usable_body_g`], for either end.
pub fn usable_body_span_g(body_g: Span) -> Result<Span, Unusable> {
    Ok(Span::between(
        usable_body_g(body_g.low)?,
        usable_body_g(body_g.high)?,
    ))
}

/// Size class by body mass in grams.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn size_class(body_g: f64) -> Result<SizeClass, Unusable> {
    let body_g = usable_body_g(body_g)?;
    Ok(if body_g < MEDIUM_FROM_G {
        SizeClass::Small
    } else if body_g <= LARGE_ABOVE_G {
        SizeClass::Medium
    } else {
        SizeClass::Large
    })
}

/// Size classes of the light and of the heavy end of a body mass in grams.
///
/// # Errors
/// Those of [`usable_body_g`], for either end.
pub fn size_classes(body_g: Span) -> Result<(SizeClass, SizeClass), Unusable> {
    let body_g = usable_body_span_g(body_g)?;
    Ok((size_class(body_g.low)?, size_class(body_g.high)?))
}

/// Whether a kind of bird is small by the licensing boundary of the United States: a mean adult mass of 250 g or less.
///
/// `mean_g` is the mean of the kind, not the weight of one bird. Source: USDA APHIS, list of pet birds, 19 February 2024.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn is_small_by_us_boundary(mean_g: f64) -> Result<bool, Unusable> {
    Ok(usable_body_g(mean_g)? <= US_SMALL_UP_TO_G)
}

/// Weights, in grams, that are believed without asking again: from half the least to twice the greatest published mean
/// of the kind. Our own choice, no source. It catches a slipped digit or unit; it says nothing about health.
///
/// Where the table is not usable (see [`usable_body_g`]) both ends are "not a number": such a range holds nothing and
/// leaves every mark open.
#[must_use]
pub fn plausible_g(table: Span) -> Span {
    match usable_body_span_g(table) {
        Ok(table) => Span::between(
            table.low * LEAST_SHARE_OF_PUBLISHED,
            table.high * MOST_MULTIPLE_OF_PUBLISHED,
        ),
        Err(_) => Span::exact(f64::NAN),
    }
}

/// A bird's mass in per cent of the published means of its kind: the low end against the greatest mean, the high end
/// against the least.
///
/// The published means are mostly of wild birds and sources differ by up to a quarter and more, so this describes and
/// never judges: whether a bird is too light or too heavy is for a vet to say with the bird in hand.
///
/// # Errors
/// Those of [`usable_body_g`], for the bird or for either end of the table.
pub fn percent_of_published(body_g: f64, table: Span) -> Result<Span, Unusable> {
    let body_g = usable_body_g(body_g)?;
    let table = usable_body_span_g(table)?;
    Ok(Span::between(
        body_g / table.high * 100.0,
        body_g / table.low * 100.0,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const OUT_OF_RANGE: Unusable = Unusable::OutOfRange {
        least: 10.0,
        most: 5000.0,
    };

    #[test]
    fn a_body_mass_lies_between_ten_grams_and_five_kilograms() {
        assert_eq!(usable_body_g(10.0), Ok(10.0));
        assert_eq!(usable_body_g(5000.0), Ok(5000.0));
        assert_eq!(usable_body_g(9.99), Err(OUT_OF_RANGE));
        assert_eq!(usable_body_g(5000.01), Err(OUT_OF_RANGE));
        for bad in [0.0, -30.0] {
            assert_eq!(usable_body_g(bad), Err(Unusable::NotAboveZero));
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(usable_body_g(bad), Err(Unusable::NotFinite));
        }
    }

    #[test]
    fn a_range_of_masses_is_put_in_order_and_both_ends_are_looked_at() {
        let reversed = Span {
            low: 400.0,
            high: 350.0,
        };
        assert_eq!(
            usable_body_span_g(reversed),
            Ok(Span::between(350.0, 400.0))
        );
        let no_low = Span {
            low: f64::NAN,
            high: 350.0,
        };
        assert_eq!(usable_body_span_g(no_low), Err(Unusable::NotFinite));
        assert_eq!(
            usable_body_span_g(Span::between(350.0, 5001.0)),
            Err(OUT_OF_RANGE)
        );
    }

    // Masses: AVONET (Tobias and others 2022). Classes: common practice, no source.
    #[test]
    fn companion_birds_fall_in_the_class_a_keeper_would_name() {
        assert_eq!(size_class(29.0), Ok(SizeClass::Small), "budgerigar");
        assert_eq!(size_class(94.6), Ok(SizeClass::Small), "cockatiel");
        assert_eq!(size_class(120.0), Ok(SizeClass::Medium), "monk parakeet");
        assert_eq!(size_class(333.0), Ok(SizeClass::Medium), "African grey");
        assert_eq!(size_class(835.0), Ok(SizeClass::Large), "Moluccan cockatoo");
        assert_eq!(size_class(1331.0), Ok(SizeClass::Large), "hyacinth macaw");
    }

    #[test]
    fn the_edges_120_and_500_grams_are_medium() {
        assert_eq!(size_class(119.99), Ok(SizeClass::Small));
        assert_eq!(size_class(120.0), Ok(SizeClass::Medium));
        assert_eq!(size_class(120.01), Ok(SizeClass::Medium));
        assert_eq!(size_class(499.99), Ok(SizeClass::Medium));
        assert_eq!(size_class(500.0), Ok(SizeClass::Medium));
        assert_eq!(size_class(500.01), Ok(SizeClass::Large));
    }

    #[test]
    fn classes_are_ordered_by_size() {
        assert!(SizeClass::Small < SizeClass::Medium && SizeClass::Medium < SizeClass::Large);
    }

    #[test]
    fn a_range_of_masses_may_span_classes() {
        assert_eq!(
            size_classes(Span::between(100.0, 130.0)),
            Ok((SizeClass::Small, SizeClass::Medium))
        );
        assert_eq!(
            size_classes(Span {
                low: 600.0,
                high: 480.0
            }),
            Ok((SizeClass::Medium, SizeClass::Large))
        );
        assert_eq!(
            size_classes(Span::exact(29.0)),
            Ok((SizeClass::Small, SizeClass::Small))
        );
    }

    #[test]
    fn a_mass_no_bird_has_is_in_no_class() {
        for bad in [0.0, -1.0, 9.99, 5000.01, f64::NAN, f64::INFINITY] {
            assert!(size_class(bad).is_err(), "{bad}");
            assert!(is_small_by_us_boundary(bad).is_err(), "{bad}");
            for (low, high) in [(bad, 100.0), (100.0, bad)] {
                assert!(size_classes(Span { low, high }).is_err(), "{bad}");
            }
        }
    }

    // USDA APHIS, list of pet birds, 19 February 2024: 250 g mean adult mass.
    #[test]
    fn usda_aphis_2024_250_grams_is_small_and_251_is_not() {
        assert_eq!(is_small_by_us_boundary(249.9), Ok(true));
        assert_eq!(is_small_by_us_boundary(250.0), Ok(true));
        assert_eq!(is_small_by_us_boundary(250.01), Ok(false));
        assert_eq!(is_small_by_us_boundary(251.0), Ok(false));
    }

    // The same list names cockatiels as small; their mean of 94.6 g is from AVONET (Tobias and others 2022).
    #[test]
    fn usda_aphis_2024_counts_a_cockatiel_as_small_and_not_a_grey() {
        assert_eq!(is_small_by_us_boundary(94.6), Ok(true));
        assert_eq!(is_small_by_us_boundary(333.0), Ok(false));
    }

    // African grey: 333 g in AVONET (Tobias and others 2022), 404.5 g in Burgio and others (2019).
    #[test]
    fn a_grey_is_believed_from_half_the_least_to_twice_the_greatest_mean() {
        assert_eq!(
            plausible_g(Span::between(333.0, 404.5)),
            Span::between(166.5, 809.0)
        );
        let plausible = plausible_g(Span::exact(400.0));
        assert!(plausible.holds(200.0) && plausible.holds(800.0));
        assert!(!plausible.holds(199.9) && !plausible.holds(800.1));
    }

    #[test]
    fn nothing_is_plausible_against_a_table_that_is_no_table() {
        for bad in [0.0, -30.0, 9.99, 5001.0, f64::NAN, f64::INFINITY] {
            let plausible = plausible_g(Span {
                low: bad,
                high: 30.0,
            });
            assert!(
                plausible.low.is_nan() && plausible.high.is_nan(),
                "{bad} low"
            );
            let plausible = plausible_g(Span {
                low: 30.0,
                high: bad,
            });
            assert!(!plausible.holds(30.0), "{bad} high");
            assert_eq!(plausible.at_least(1.0), None);
        }
    }

    #[test]
    fn a_bird_is_compared_with_the_greatest_and_the_least_mean() {
        let percent = percent_of_published(300.0, Span::between(250.0, 400.0));
        assert_eq!(percent, Ok(Span::between(75.0, 120.0)));
        assert_eq!(
            percent_of_published(29.0, Span::exact(29.0)),
            Ok(Span::exact(100.0))
        );
    }

    #[test]
    fn a_comparison_needs_a_bird_and_a_table() {
        for bad in [0.0, -1.0, 9.99, 5001.0, f64::NAN, f64::NEG_INFINITY] {
            assert!(percent_of_published(bad, Span::exact(300.0)).is_err());
            let table = Span {
                low: bad,
                high: 300.0,
            };
            assert!(percent_of_published(300.0, table).is_err());
        }
    }
}
