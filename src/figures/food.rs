//! Food as reward: what a piece holds, how many pieces a day allows, and what may never be one.
//!
//! Rewards come out of the day's energy by being counted, never by hunger: the day's staple food is never cut to pay for
//! them, and no function here returns an amount of food to withhold.

use super::input::above_zero;
use super::span::Span;

/// A food that can be a reward.
///
/// Energy is from the USDA National Nutrient Database for Standard Reference, release 26, for 100 g of the edible part.
/// It is worked out for people. Measured in caged Goffin's cockatoos, sunflower kernels gave 6 % more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Food {
    /// Name in small letters and hyphens.
    pub key: &'static str,
    /// Number of the food in the database, without its leading zero.
    pub ndb: u32,
    /// Kilocalories in 100 g of the edible part.
    pub kcal_per_100_g: f64,
    /// Mass of one piece as people count them, in grams; `None` where none is published.
    pub piece_g: Option<f64>,
    /// Sold and spoken of as a nut, the peanut and the pine nut too: a person allergic to nuts does not handle it.
    pub nut: bool,
}

const fn with_piece(key: &'static str, ndb: u32, kcal_per_100_g: f64, piece_g: f64) -> Food {
    Food {
        key,
        ndb,
        kcal_per_100_g,
        piece_g: Some(piece_g),
        nut: false,
    }
}

const fn by_weight(key: &'static str, ndb: u32, kcal_per_100_g: f64) -> Food {
    Food {
        key,
        ndb,
        kcal_per_100_g,
        piece_g: None,
        nut: false,
    }
}

const fn nut(food: Food) -> Food {
    Food { nut: true, ..food }
}

/// Foods with published energy. Masses of pieces are the database's own unless a line says otherwise.
pub const FOODS: &[Food] = &[
    // Kernel of 0.036 g: Santalla and Mascheroni 2003 (the whole seed weighs 0.055 g).
    with_piece("sunflower-kernel", 12036, 584.0, 0.036),
    nut(with_piece("almond", 12061, 579.0, 1.2)),
    nut(with_piece("walnut-half", 12155, 654.0, 2.0)),
    nut(with_piece("pine-nut", 12147, 673.0, 0.17)),
    // 562 kcal is release 26, as for every other food here; the release of 2018 has 560. The database contradicts itself
    // on the kernel: 0.7 g by its weight file, but 49 to the ounce, which is 0.579 g. The count is taken, because the
    // other nuts counted to the ounce agree with their weights. A kernel of 0.7 g would hold a fifth more.
    nut(with_piece("pistachio", 12151, 562.0, 0.579)),
    by_weight("safflower-kernel", 12021, 517.0),
    by_weight("millet", 20031, 378.0),
    // Without the pips, which are barred.
    by_weight("apple", 9003, 52.0),
    with_piece("blueberry", 9050, 57.0, 1.36),
    with_piece("grape", 9132, 69.0, 4.9),
    nut(with_piece("hazelnut", 12120, 628.0, 1.4)),
    nut(with_piece("brazil-nut", 12078, 656.0, 5.0)),
    nut(with_piece("pecan-half", 12142, 691.0, 1.49)),
    // Ten to twelve kernels to the ounce of 28.35 g: eleven, the middle, is 2.577 g.
    nut(with_piece("macadamia", 12131, 718.0, 2.577)),
    with_piece("carrot-slice", 11124, 41.0, 3.0),
    by_weight("red-sweet-pepper", 11821, 31.0),
    by_weight("banana", 9040, 89.0),
    by_weight("pomegranate", 9286, 83.0),
    by_weight("cooked-egg", 1129, 155.0),
    by_weight("pumpkin-kernel", 12014, 559.0),
    nut(by_weight("peanut", 16087, 567.0)),
    nut(by_weight("cashew", 12087, 553.0)),
];

/// Foods that are never a reward, in any amount. Avocado: veterinary practices' published warnings, which report deaths
/// of small parrots. The others: avian conference notes on unsafe foods.
pub const BARRED: &[&str] = &[
    "avocado",
    "chocolate",
    "caffeine",
    "alcohol",
    "onion",
    "garlic",
    "salt",
    "fruit-pips",
];

/// Greatest share of a day's energy that comes as rewards.
///
/// A convention for dogs and cats carried over to birds, from memory; no source for birds was found.
pub const REWARD_SHARE: f64 = 0.10;

/// Pieces in one session when nobody has counted how many a bird takes before it loses interest. Common practice, no source.
pub const PIECES_IN_A_SESSION: u32 = 8;

/// Share by which a count of pieces may fall short of a whole and still be it: numbers such as 0.1 have no exact binary
/// form, and five pieces that pay for five must not come out as four.
const ROUNDING: f64 = 1e-9;

/// The food of that name.
#[must_use]
pub fn food(key: &str) -> Option<&'static Food> {
    FOODS.iter().find(|food| food.key == key)
}

/// Kilocalories in one piece; `None` where no mass of a piece is published.
#[must_use]
pub fn piece_kcal(food: &Food) -> Option<f64> {
    let kcal_per_100_g = above_zero(food.kcal_per_100_g).ok()?;
    let piece_g = above_zero(food.piece_g?).ok()?;
    Some(kcal_per_100_g * piece_g / 100.0)
}

/// Kilocalories a day that may come as rewards: [`REWARD_SHARE`] of the maintenance, in kcal a day.
///
/// Where an end of the maintenance is not a finite number above zero, both ends are "not a number", which every function
/// here takes as a blank.
#[must_use]
pub fn reward_budget_kcal(maintenance: Span) -> Span {
    usable(maintenance).map_or(Span::exact(f64::NAN), |kcal| {
        Span::between(kcal.low * REWARD_SHARE, kcal.high * REWARD_SHARE)
    })
}

/// Whole pieces that a budget in kilocalories pays for.
///
/// `None` for a food with no published piece, and for a budget that is not a finite number above zero or beyond counting.
#[must_use]
pub fn whole_pieces(budget_kcal: f64, food: &Food) -> Option<u32> {
    let pieces = above_zero(budget_kcal).ok()? / piece_kcal(food)?;
    let whole = (pieces * (1.0 + ROUNDING)).floor();
    // In range by the comparison, so the conversion keeps the number.
    (whole <= f64::from(u32::MAX)).then_some(whole as u32)
}

/// Fewest and most whole pieces a day that the rewards' share of the maintenance, in kcal a day, pays for.
///
/// `None` as for [`whole_pieces`].
#[must_use]
pub fn pieces_a_day(maintenance: Span, food: &Food) -> Option<(u32, u32)> {
    let budget = reward_budget_kcal(maintenance);
    Some((
        whole_pieces(budget.low, food)?,
        whole_pieces(budget.high, food)?,
    ))
}

/// Per cent of the maintenance, in kcal a day, that a number of pieces a day comes to. No pieces come to 0.
///
/// `None` for a food with no published piece, and for a number of pieces below zero or a maintenance not above zero.
#[must_use]
pub fn treat_share_percent(pieces: f64, food: &Food, maintenance: Span) -> Option<Span> {
    let maintenance = usable(maintenance)?;
    if !pieces.is_finite() || pieces < 0.0 {
        return None;
    }
    let percent = pieces * piece_kcal(food)? * 100.0;
    Some(Span::between(
        percent / maintenance.high,
        percent / maintenance.low,
    ))
}

/// Repetitions that a day's pieces (fewest, most) pay for; `None` when a repetition takes no piece.
#[must_use]
pub fn repetitions_paid_for(
    (fewest, most): (u32, u32),
    pieces_per_repetition: u32,
) -> Option<(u32, u32)> {
    Some((
        fewest.checked_div(pieces_per_repetition)?,
        most.checked_div(pieces_per_repetition)?,
    ))
}

/// Pieces one session may use: never more than the day's pieces shared out evenly over the day's sessions, nor than the
/// bird takes before it loses interest ([`PIECES_IN_A_SESSION`] when nobody has counted). No session, no pieces.
///
/// The session ends while the bird still wants more; it never starts with a hungry bird.
#[must_use]
pub fn session_pieces(
    pieces_a_day: u32,
    sessions_a_day: u32,
    pieces_to_loss_of_interest: Option<u32>,
) -> u32 {
    let share = pieces_a_day.checked_div(sessions_a_day).unwrap_or(0);
    share.min(pieces_to_loss_of_interest.unwrap_or(PIECES_IN_A_SESSION))
}

/// Whether one whole piece is more than a day's budget in kilocalories, so that the food must be cut smaller.
///
/// `None` as for [`whole_pieces`].
#[must_use]
pub fn needs_cutting(budget_kcal: f64, food: &Food) -> Option<bool> {
    Some(whole_pieces(budget_kcal, food)? == 0)
}

/// A range with both ends finite and above zero, in order.
fn usable(kcal: Span) -> Option<Span> {
    Some(Span::between(
        above_zero(kcal.low).ok()?,
        above_zero(kcal.high).ok()?,
    ))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::super::energy::{Order, maintenance_kcal_a_day, maintenance_range_kcal_a_day};
    use super::*;

    /// One kilocalorie in a piece of one gram.
    const ONE_KCAL: Food = with_piece("one-kcal", 0, 100.0, 1.0);

    fn known(key: &str) -> &'static Food {
        food(key).unwrap()
    }

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} is not {expected}"
        );
    }

    /// A parrot's maintenance by Quesenberry, Mauldin and Hillyer 1989.
    fn maintenance(body_g: f64) -> Span {
        Span::exact(maintenance_kcal_a_day(body_g, Order::NonPasserine).unwrap())
    }

    // USDA National Nutrient Database for Standard Reference, release 26.
    #[test]
    fn usda_sr26_energy_of_100_grams() {
        let published = [
            ("sunflower-kernel", 12036, 584.0),
            ("almond", 12061, 579.0),
            ("walnut-half", 12155, 654.0),
            ("pine-nut", 12147, 673.0),
            ("pistachio", 12151, 562.0),
            ("safflower-kernel", 12021, 517.0),
            ("millet", 20031, 378.0),
            ("apple", 9003, 52.0),
            ("blueberry", 9050, 57.0),
            ("grape", 9132, 69.0),
            ("hazelnut", 12120, 628.0),
            ("brazil-nut", 12078, 656.0),
            ("pecan-half", 12142, 691.0),
            ("macadamia", 12131, 718.0),
            ("carrot-slice", 11124, 41.0),
            ("red-sweet-pepper", 11821, 31.0),
            ("banana", 9040, 89.0),
            ("pomegranate", 9286, 83.0),
            ("cooked-egg", 1129, 155.0),
            ("pumpkin-kernel", 12014, 559.0),
            ("peanut", 16087, 567.0),
            ("cashew", 12087, 553.0),
        ];
        for (key, ndb, kcal) in published {
            let food = known(key);
            assert_eq!((food.key, food.ndb, food.kcal_per_100_g), (key, ndb, kcal));
        }
        assert_eq!(FOODS.len(), published.len());
    }

    // The same database's weight file, in its own counts; sunflower: Santalla and Mascheroni 2003.
    #[test]
    fn usda_sr26_pieces_weigh_what_so_many_weigh() {
        let ounce_g = 28.35;
        for (key, pieces, grams) in [
            ("sunflower-kernel", 1000.0, 36.0),
            ("almond", 1.0, 1.2),
            ("walnut-half", 50.0, 100.0),
            ("pine-nut", 10.0, 1.7),
            ("pistachio", 49.0, ounce_g),
            ("blueberry", 50.0, 68.0),
            ("grape", 10.0, 49.0),
            ("hazelnut", 10.0, 14.0),
            ("brazil-nut", 1.0, 5.0),
            ("pecan-half", 19.0, ounce_g),
            ("macadamia", 11.0, ounce_g),
            ("carrot-slice", 1.0, 3.0),
        ] {
            let piece_g = known(key).piece_g.unwrap();
            near(piece_g * pieces / grams, 1.0, 0.002);
        }
    }

    #[test]
    fn foods_with_no_published_piece_have_no_piece() {
        let without: Vec<_> = FOODS.iter().filter(|food| food.piece_g.is_none()).collect();
        let keys: Vec<_> = without.iter().map(|food| food.key).collect();
        assert_eq!(
            keys,
            [
                "safflower-kernel",
                "millet",
                "apple",
                "red-sweet-pepper",
                "banana",
                "pomegranate",
                "cooked-egg",
                "pumpkin-kernel",
                "peanut",
                "cashew"
            ]
        );
        for food in without {
            assert_eq!(piece_kcal(food), None);
            assert_eq!(whole_pieces(6.0, food), None);
            assert_eq!(needs_cutting(6.0, food), None);
            assert_eq!(pieces_a_day(Span::exact(60.0), food), None);
            assert_eq!(treat_share_percent(1.0, food, Span::exact(60.0)), None);
        }
    }

    #[test]
    fn a_person_allergic_to_nuts_finds_every_nut_marked() {
        let nuts: Vec<_> = FOODS.iter().filter(|food| food.nut).collect();
        let keys: Vec<_> = nuts.iter().map(|food| food.key).collect();
        assert_eq!(
            keys,
            [
                "almond",
                "walnut-half",
                "pine-nut",
                "pistachio",
                "hazelnut",
                "brazil-nut",
                "pecan-half",
                "macadamia",
                "peanut",
                "cashew"
            ]
        );
    }

    // Avian conference notes on unsafe foods; veterinary practices' warnings on avocado.
    #[test]
    fn no_reward_is_a_barred_food() {
        assert_eq!(
            BARRED,
            [
                "avocado",
                "chocolate",
                "caffeine",
                "alcohol",
                "onion",
                "garlic",
                "salt",
                "fruit-pips"
            ]
        );
        for barred in BARRED {
            assert_eq!(food(barred), None);
            for food in FOODS {
                assert!(!food.key.contains(barred), "{} is barred", food.key);
            }
        }
    }

    #[test]
    fn a_food_is_found_by_its_whole_name_and_only_once() {
        assert_eq!(food("almond").map(|food| food.ndb), Some(12061));
        assert_eq!(food("Almond"), None);
        assert_eq!(food("almon"), None);
        assert_eq!(food(""), None);
        for food in FOODS {
            let same = FOODS.iter().filter(|other| other.key == food.key).count();
            let number = FOODS.iter().filter(|other| other.ndb == food.ndb).count();
            assert_eq!((same, number), (1, 1), "{}", food.key);
        }
    }

    // USDA, release 26: energy times mass of the piece.
    #[test]
    fn usda_sr26_an_almond_ten_pine_nuts_and_fifty_blueberries() {
        near(piece_kcal(known("almond")).unwrap(), 6.948, 0.0005);
        near(
            piece_kcal(known("pine-nut")).unwrap() * 10.0,
            11.441,
            0.0005,
        );
        near(piece_kcal(known("blueberry")).unwrap() * 50.0, 38.76, 0.005);
    }

    // USDA, release 26: ten to twelve macadamia kernels to the ounce are 17 to 20 kcal each; 49 pistachios, 3.25 kcal each.
    #[test]
    fn usda_sr26_the_pieces_counted_to_the_ounce() {
        let macadamia = piece_kcal(known("macadamia")).unwrap();
        assert!((17.0..=20.0).contains(&macadamia));
        near(piece_kcal(known("pistachio")).unwrap(), 3.25, 0.005);
    }

    // A published feeding trial of caged Goffin's cockatoos: 6,207 kcal of metabolisable energy in a kilogram of kernels.
    #[test]
    fn sunflower_energy_per_kilogram_is_near_what_cockatoos_got_from_it() {
        let kcal_per_kg = known("sunflower-kernel").kcal_per_100_g * 10.0;
        near(kcal_per_kg / 6207.0, 0.941, 0.0005);
    }

    // A tenth of the maintenance by Quesenberry, Mauldin and Hillyer 1989. The tenth itself is a convention for mammals.
    #[test]
    fn the_conventional_tenth_of_a_450_gram_birds_maintenance() {
        let budget = reward_budget_kcal(maintenance(450.0));
        near(budget.low, 6.428, 0.001);
        near(budget.high, 6.428, 0.001);
        let pieces = |key| whole_pieces(budget.low, known(key));
        assert_eq!(pieces("sunflower-kernel"), Some(30));
        assert_eq!(pieces("pine-nut"), Some(5));
        assert_eq!(pieces("blueberry"), Some(8));
        assert_eq!(pieces("almond"), Some(0));
    }

    // Same sources, other masses.
    #[test]
    fn the_conventional_tenth_from_budgerigar_to_macaw() {
        for (body_g, kcal) in [
            (35.0, 0.947),
            (50.0, 1.237),
            (90.0, 1.923),
            (125.0, 2.460),
            (330.0, 5.094),
            (400.0, 5.885),
            (1000.0, 11.70),
        ] {
            near(reward_budget_kcal(maintenance(body_g)).low, kcal, 0.0006);
        }
        let pieces = |body_g, key| pieces_a_day(maintenance(body_g), known(key));
        assert_eq!(pieces(35.0, "sunflower-kernel"), Some((4, 4)));
        assert_eq!(pieces(1000.0, "sunflower-kernel"), Some((55, 55)));
        assert_eq!(pieces(1000.0, "almond"), Some((1, 1)));
    }

    #[test]
    fn a_range_of_maintenance_gives_a_range_of_pieces() {
        let range = maintenance_range_kcal_a_day(Span::exact(450.0)).unwrap();
        let (fewest, most) = pieces_a_day(range, known("pine-nut")).unwrap();
        // 117 against 220 kcal for each kilogram to the power 0.75.
        assert_eq!((fewest, most), (5, 10));
        let reversed = Span {
            low: range.high,
            high: range.low,
        };
        assert_eq!(pieces_a_day(reversed, known("pine-nut")), Some((5, 10)));
    }

    #[test]
    fn a_maintenance_that_is_no_number_leaves_the_budget_blank() {
        for bad in [0.0, -60.0, f64::NAN, f64::INFINITY] {
            for (low, high) in [(bad, 60.0), (60.0, bad)] {
                let maintenance = Span { low, high };
                let budget = reward_budget_kcal(maintenance);
                assert!(budget.low.is_nan() && budget.high.is_nan());
                assert_eq!(pieces_a_day(maintenance, &ONE_KCAL), None);
                assert_eq!(treat_share_percent(1.0, &ONE_KCAL, maintenance), None);
            }
        }
    }

    #[test]
    fn five_pieces_that_pay_for_five_are_five() {
        for key in FOODS.iter().map(|food| food.key) {
            let food = known(key);
            let Some(kcal) = piece_kcal(food) else {
                continue;
            };
            for pieces in 1..=200 {
                let budget = (0..pieces).map(|_| kcal).sum();
                assert_eq!(whole_pieces(budget, food), Some(pieces), "{key}");
            }
        }
        // Thirty times 0.1 kcal is short of 3 kcal in binary numbers, or over; either way it pays for three.
        assert_eq!(whole_pieces(0.1 + 0.2, &ONE_KCAL), Some(0));
        assert_eq!(whole_pieces(30.0 * 0.1, &ONE_KCAL), Some(3));
    }

    #[test]
    fn only_a_rounding_fault_is_forgiven() {
        let short_by = |share: f64| whole_pieces(5.0 * (1.0 - share), &ONE_KCAL);
        assert_eq!(short_by(0.995e-9), Some(5));
        assert_eq!(short_by(1.005e-9), Some(4));
        assert_eq!(whole_pieces(4.999, &ONE_KCAL), Some(4));
        assert_eq!(whole_pieces(5.001, &ONE_KCAL), Some(5));
        assert_eq!(whole_pieces(0.999, &ONE_KCAL), Some(0));
        assert_eq!(whole_pieces(1.0, &ONE_KCAL), Some(1));
    }

    #[test]
    fn no_pieces_are_counted_from_a_budget_that_is_none() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(whole_pieces(bad, &ONE_KCAL), None, "{bad}");
            assert_eq!(needs_cutting(bad, &ONE_KCAL), None, "{bad}");
        }
        assert_eq!(
            whole_pieces(4_294_967_290.5, &ONE_KCAL),
            Some(4_294_967_294)
        );
        assert_eq!(whole_pieces(4_294_967_291.0, &ONE_KCAL), Some(u32::MAX));
        assert_eq!(whole_pieces(4_294_967_292.0, &ONE_KCAL), None);
    }

    #[test]
    fn a_food_that_cannot_be_gives_no_energy() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(piece_kcal(&with_piece("no-energy", 0, bad, 1.0)), None);
            assert_eq!(piece_kcal(&with_piece("no-mass", 0, 100.0, bad)), None);
        }
    }

    // USDA, release 26, against Quesenberry, Mauldin and Hillyer 1989: 6.948 of 64.284 kcal.
    #[test]
    fn one_almond_is_more_than_a_tenth_of_a_450_gram_birds_day() {
        let share = treat_share_percent(1.0, known("almond"), maintenance(450.0)).unwrap();
        near(share.low, 10.81, 0.005);
        assert_eq!(share.low, share.high);
        assert_eq!(needs_cutting(6.428, known("almond")), Some(true));
        assert_eq!(needs_cutting(6.428, known("pine-nut")), Some(false));
    }

    #[test]
    fn a_share_is_smallest_against_the_greatest_maintenance() {
        let share = |pieces| treat_share_percent(pieces, &ONE_KCAL, Span::between(50.0, 80.0));
        assert_eq!(share(4.0), Some(Span::between(5.0, 8.0)));
        assert_eq!(share(0.5), Some(Span::between(0.625, 1.0)));
        assert_eq!(share(0.0), Some(Span::exact(0.0)));
        for bad in [-0.5, f64::NAN, f64::INFINITY] {
            assert_eq!(share(bad), None);
        }
        let reversed = Span {
            low: 80.0,
            high: 50.0,
        };
        assert_eq!(
            treat_share_percent(4.0, &ONE_KCAL, reversed),
            Some(Span::between(5.0, 8.0))
        );
    }

    #[test]
    fn a_piece_that_just_fits_the_day_needs_no_cutting() {
        assert_eq!(needs_cutting(1.0, &ONE_KCAL), Some(false));
        assert_eq!(needs_cutting(0.99, &ONE_KCAL), Some(true));
        assert_eq!(needs_cutting(1.99, &ONE_KCAL), Some(false));
    }

    #[test]
    fn repetitions_are_paid_for_in_whole() {
        assert_eq!(repetitions_paid_for((5, 10), 1), Some((5, 10)));
        assert_eq!(repetitions_paid_for((5, 10), 2), Some((2, 5)));
        assert_eq!(repetitions_paid_for((5, 10), 11), Some((0, 0)));
        assert_eq!(repetitions_paid_for((5, 10), 0), None);
    }

    // Common practice, no source: eight pieces until somebody has counted.
    #[test]
    fn a_session_uses_its_share_of_the_day_and_stops_before_interest_does() {
        assert_eq!(session_pieces(30, 2, None), 8);
        assert_eq!(session_pieces(30, 2, Some(12)), 12);
        assert_eq!(session_pieces(30, 2, Some(15)), 15);
        assert_eq!(session_pieces(30, 2, Some(40)), 15);
        assert_eq!(session_pieces(5, 2, None), 2);
        assert_eq!(session_pieces(7, 1, None), 7);
        assert_eq!(session_pieces(9, 1, None), 8);
        assert_eq!(session_pieces(30, 2, Some(0)), 0);
        assert_eq!(session_pieces(1, 2, None), 0);
        assert_eq!(session_pieces(30, 0, None), 0);
    }
}
