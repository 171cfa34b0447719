//! The least size of an enclosure by six published standards, and whether a cage reaches it.
//!
//! Each standard has its own file with its source. A minimum is a floor, not a goal, and none of these was written for
//! birds that bite. The United States have a performance standard without figures (9 CFR 3 subpart G, 88 FR 10654 of 21
//! February 2023), so nothing numeric is said of them here; Great Britain's rule is about wings and stands in [`wings`].
//!
//! A length of a bird may be known only between two ends, and any answer about the cage may be blank. The verdict is then
//! the one that holds however the blanks turn out, and [`Verdict::NotKnown`] where there is none.

pub mod austria;
mod class;
pub mod germany;
mod need;
pub mod new_south_wales;
mod pair_size;
pub mod queensland;
mod reading;
pub mod sweden;
pub mod switzerland;
pub mod wings;

pub use class::Class;
pub use need::{Need, Shortfall};
pub use reading::{MOST_BIRD_LENGTH_CM, MOST_BIRDS, MOST_SIDE_CM, MOST_WINGSPAN_CM};

use super::input::Unusable;
use super::span::Span;
use need::Sides;

/// What a standard needs to know of the birds in one cage. All of them are of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bird {
    /// Bill tip to tail tip, in cm; with a damaged tail, the length of the species.
    pub length_cm: Span,
    /// A budgerigar.
    pub is_budgerigar: bool,
    /// A cockatiel.
    pub is_cockatiel: bool,
    /// Any macaw, small ones too.
    pub is_macaw: bool,
    /// Any cockatoo; the cockatiel may be marked as one or not.
    pub is_cockatoo: bool,
    /// A lory or lorikeet.
    pub is_lory: bool,
    /// A parakeet: a long-tailed small parrot.
    pub is_parakeet: bool,
    /// Named as a large parrot in the Swiss Animal Protection Ordinance (TSchV), Annex 2 Table 2, note f: the macaws
    /// hyacinthinus, leari, ambigua, ararauna, caninde, chloroptera, macao, militaris, rubrogenys and spixii; the cockatoos
    /// alba, galerita, moluccensis, ophthalmica, the black cockatoos funereus, lathami and magnificus, and the palm cockatoo
    /// aterrimus.
    pub on_swiss_large_list: bool,
    /// Tip to tip with the wings spread, in cm. No size table asks for it; the rules of shape and of wings do.
    pub wingspan_cm: Option<f64>,
}

impl Bird {
    /// A parrot of a length of which nothing else is known to matter.
    #[must_use]
    pub const fn of_length(length_cm: Span) -> Self {
        Self {
            length_cm,
            is_budgerigar: false,
            is_cockatiel: false,
            is_macaw: false,
            is_cockatoo: false,
            is_lory: false,
            is_parakeet: false,
            on_swiss_large_list: false,
            wingspan_cm: None,
        }
    }

    fn checked(&self) -> Result<Self, Unusable> {
        Ok(Self {
            length_cm: reading::span_cm(self.length_cm, reading::bird_length_cm)?,
            wingspan_cm: self.wingspan_cm.map(reading::wingspan_cm).transpose()?,
            ..*self
        })
    }
}

/// One cage with a rectangular floor, as it was described. `None` is an answer that is blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cage {
    /// One side of the floor, in cm. Which of the two is called length does not matter.
    pub length_cm: Option<f64>,
    /// The other side of the floor, in cm.
    pub width_cm: Option<f64>,
    /// Height, in cm.
    pub height_cm: Option<f64>,
    /// Birds that live in it.
    pub birds: Option<u32>,
    /// Whether it stands outdoors. Where that decides and is blank, the indoor rows give the least that is asked and the
    /// verdict holds for both places or stays open; whoever knows the cage to be in the home should say so.
    pub outdoors: Option<bool>,
}

impl Cage {
    fn checked(&self) -> Result<Self, Unusable> {
        let side = |side: Option<f64>| side.map(reading::side_cm).transpose();
        Ok(Self {
            length_cm: side(self.length_cm)?,
            width_cm: side(self.width_cm)?,
            height_cm: side(self.height_cm)?,
            birds: self.birds.map(reading::birds).transpose()?,
            outdoors: self.outdoors,
        })
    }
}

/// A published standard with figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standard {
    /// Swedish Board of Agriculture, SJVFS 2014:17 (L 80), Annex 1. Law.
    Sweden,
    /// Swiss Animal Protection Ordinance (TSchV, SR 455.1), Annex 2 Table 2. Law.
    Switzerland,
    /// German federal ministry, expert report on minimum requirements for keeping parrots, 10 January 1995.
    Germany,
    /// Austria, 2. Tierhaltungsverordnung, Annex 2, with Burgenland, Annex 14. Law.
    Austria,
    /// Queensland code of practice for aviculture, as issued by Logan City Council.
    Queensland,
    /// New South Wales Department of Education, caged birds. Guidance.
    NewSouthWales,
}

impl Standard {
    /// Every standard, in the order the files stand in.
    pub const ALL: &[Self] = &[
        Self::Sweden,
        Self::Switzerland,
        Self::Germany,
        Self::Austria,
        Self::Queensland,
        Self::NewSouthWales,
    ];

    fn row(
        self,
        bird: &Bird,
        length_cm: f64,
        birds: u32,
        outdoors: bool,
    ) -> Result<Row, NotCovered> {
        match self {
            Self::Sweden => Ok(sweden::row(length_cm, birds)),
            Self::Switzerland => switzerland::row(bird, birds),
            Self::Germany => germany::row(bird, length_cm, birds),
            Self::Austria => austria::row(bird, length_cm, birds),
            Self::Queensland => queensland::row(length_cm, birds, outdoors),
            Self::NewSouthWales => new_south_wales::row(length_cm, birds, outdoors),
        }
    }
}

/// The row a bird falls into and what it asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Row {
    class: Class,
    need: Need,
}

/// Why a standard does not speak of a bird.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotCovered {
    /// The standard names the bird as one it leaves out: the budgerigar and the cockatiel in Germany and Austria.
    Excluded,
    /// No row for such a bird, or for such a place, is carried here.
    NoFigure,
    /// The bird is longer than the last row.
    BeyondTable,
}

/// Whether a cage reaches a standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// The standard does not speak of such a bird.
    NotCovered(NotCovered),
    /// A blank, or the range of the bird's length, could decide it either way.
    NotKnown,
    /// It is reached however the blanks turn out.
    Met,
    /// It is not reached however the blanks turn out, and at least this is missing.
    Short(Shortfall),
}

/// One cage held against one standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assessment {
    /// The standard.
    pub standard: Standard,
    /// The row, where both ends of the bird's length fall into the same one.
    pub class: Option<Class>,
    /// The least the standard can be asking: shortest length of the bird, fewest birds, indoors where that is blank.
    /// `None` where no row speaks of that bird.
    pub need_least: Option<Need>,
    /// The most the standard can be asking: greatest length, outdoors where that is blank. `None` where no row speaks of
    /// that bird, and where the number of birds is blank, since floors then have no upper end.
    pub need_most: Option<Need>,
    /// Whether the cage reaches it.
    pub verdict: Verdict,
}

/// Holds a cage against a standard.
///
/// It is short when even the best cage the answers leave open falls below the least that can be asked, and met when even
/// the worst one reaches the most. Every need grows, or stays, with the bird's length, the number of birds and a place
/// outdoors, so the two ends speak for all that lies between, and an answer taken back can only leave the verdict open.
/// With the number of birds blank nothing is ever met: all six standards ask for more floor with more birds.
///
/// # Errors
/// [`Unusable`] for a number that is not finite or not above zero, a side over [`MOST_SIDE_CM`], a bird over
/// [`MOST_BIRD_LENGTH_CM`] or [`MOST_WINGSPAN_CM`], a range turned round, and no birds or more than [`MOST_BIRDS`].
pub fn assess(standard: Standard, bird: &Bird, cage: &Cage) -> Result<Assessment, Unusable> {
    let (bird, cage) = (bird.checked()?, cage.checked()?);
    let fewest = cage.birds.unwrap_or(1);
    let least = standard.row(
        &bird,
        bird.length_cm.low,
        fewest,
        cage.outdoors.unwrap_or(false),
    );
    let most = standard.row(
        &bird,
        bird.length_cm.high,
        fewest,
        cage.outdoors.unwrap_or(true),
    );
    let verdict = match (least, most) {
        (Ok(least), Ok(most)) => judge(&least.need, &most.need, &cage),
        (Err(reason), Err(_)) => Verdict::NotCovered(reason),
        _ => Verdict::NotKnown,
    };
    let class = match (least, most) {
        (Ok(least), Ok(most)) if least.class == most.class => Some(least.class),
        _ => None,
    };
    Ok(Assessment {
        standard,
        class,
        need_least: least.ok().map(|row| row.need),
        need_most: most
            .ok()
            .filter(|_| cage.birds.is_some())
            .map(|row| row.need),
        verdict,
    })
}

fn judge(least: &Need, most: &Need, cage: &Cage) -> Verdict {
    let surely_missing = least.missing_from(Sides::at_best(cage));
    let may_be_missing = most.missing_from(Sides::at_worst(cage));
    if !surely_missing.is_nothing() {
        Verdict::Short(surely_missing)
    } else if cage.birds.is_some() && may_be_missing.is_nothing() {
        Verdict::Met
    } else {
        Verdict::NotKnown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOMY: Cage = Cage {
        length_cm: Some(500.0),
        width_cm: Some(500.0),
        height_cm: Some(300.0),
        birds: Some(2),
        outdoors: Some(false),
    };

    fn plain(length_cm: f64) -> Bird {
        Bird::of_length(Span::exact(length_cm))
    }

    fn verdict(standard: Standard, bird: &Bird, cage: &Cage) -> Verdict {
        match assess(standard, bird, cage) {
            Ok(found) => found.verdict,
            Err(reason) => panic!("{reason}"),
        }
    }

    /// Birds of every kind a standard tells apart.
    fn kinds(length_cm: Span) -> [Bird; 6] {
        let bird = Bird::of_length(length_cm);
        [
            bird,
            Bird {
                is_budgerigar: true,
                ..bird
            },
            Bird {
                is_cockatiel: true,
                ..bird
            },
            Bird {
                is_macaw: true,
                on_swiss_large_list: true,
                ..bird
            },
            Bird {
                is_parakeet: true,
                ..bird
            },
            Bird {
                is_cockatoo: true,
                ..bird
            },
        ]
    }

    /// Cages around the marks of the tables, with every answer also blank.
    fn cages() -> Vec<Cage> {
        let sides = [None, Some(40.0), Some(70.0), Some(120.0), Some(310.0)];
        let heights = [None, Some(34.0), Some(95.0), Some(250.0)];
        let mut cages = Vec::new();
        for length_cm in sides {
            for width_cm in sides {
                for height_cm in heights {
                    for birds in [None, Some(1), Some(3), Some(12)] {
                        for outdoors in [None, Some(false), Some(true)] {
                            cages.push(Cage {
                                length_cm,
                                width_cm,
                                height_cm,
                                birds,
                                outdoors,
                            });
                        }
                    }
                }
            }
        }
        cages
    }

    /// The same cage with one answer taken back, each in turn.
    fn with_one_blank(cage: &Cage) -> [Cage; 5] {
        [
            Cage {
                length_cm: None,
                ..*cage
            },
            Cage {
                width_cm: None,
                ..*cage
            },
            Cage {
                height_cm: None,
                ..*cage
            },
            Cage {
                birds: None,
                ..*cage
            },
            Cage {
                outdoors: None,
                ..*cage
            },
        ]
    }

    fn parts(lacking: &Shortfall) -> [f64; 5] {
        [
            lacking.length_cm,
            lacking.width_cm,
            lacking.height_cm,
            lacking.area_m2,
            lacking.volume_m3,
        ]
    }

    /// Whether a verdict on less knowledge says nothing that more knowledge takes back.
    fn holds_back(less: &Verdict, more: &Verdict) -> bool {
        match (less, more) {
            (Verdict::NotKnown, _) | (Verdict::Met, Verdict::Met) => true,
            (Verdict::NotCovered(_), Verdict::NotCovered(_)) => true,
            (Verdict::Short(less), Verdict::Short(more)) => parts(less)
                .iter()
                .zip(parts(more))
                .all(|(less, more)| *less <= more),
            _ => false,
        }
    }

    #[test]
    fn an_answer_taken_back_never_turns_a_verdict_round() {
        for length_cm in [9.0, 18.0, 32.0, 38.0, 86.0, 95.0].map(Span::exact) {
            for bird in kinds(length_cm) {
                for cage in cages() {
                    for standard in Standard::ALL {
                        let more = verdict(*standard, &bird, &cage);
                        for blanker in with_one_blank(&cage) {
                            let less = verdict(*standard, &bird, &blanker);
                            assert!(
                                holds_back(&less, &more),
                                "{standard:?} {bird:?} {cage:?} {blanker:?}: {less:?} {more:?}"
                            );
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_wider_range_of_length_never_turns_a_verdict_round() {
        let lengths = [9.0, 10.0, 15.0, 20.1, 25.0, 30.0, 40.1, 61.0, 90.0, 91.0];
        let known: Vec<Cage> = cages()
            .into_iter()
            .filter(|cage| cage.birds == Some(3) && cage.outdoors.is_some())
            .collect();
        for (at, low) in lengths.iter().enumerate() {
            for high in lengths.iter().skip(at) {
                for wide in kinds(Span::between(*low, *high)) {
                    for length_cm in lengths.iter().filter(|cm| wide.length_cm.holds(**cm)) {
                        let narrow = Bird {
                            length_cm: Span::exact(*length_cm),
                            ..wide
                        };
                        for cage in &known {
                            for standard in Standard::ALL {
                                let less = verdict(*standard, &wide, cage);
                                let more = verdict(*standard, &narrow, cage);
                                assert!(
                                    holds_back(&less, &more),
                                    "{standard:?} {wide:?} {length_cm} {cage:?}: {less:?} {more:?}"
                                );
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_side_left_blank_is_open_only_where_it_could_go_either_way() {
        let mut open = 0;
        for bird in [18.0, 32.0, 86.0]
            .map(Span::exact)
            .into_iter()
            .flat_map(kinds)
        {
            for cage in cages() {
                if cage.birds.is_none() || cage.outdoors.is_none() {
                    continue;
                }
                for standard in Standard::ALL {
                    if verdict(*standard, &bird, &cage) != Verdict::NotKnown {
                        continue;
                    }
                    open += 1;
                    let filled = |side_cm| Cage {
                        length_cm: cage.length_cm.or(Some(side_cm)),
                        width_cm: cage.width_cm.or(Some(side_cm)),
                        height_cm: cage.height_cm.or(Some(side_cm)),
                        ..cage
                    };
                    let best = verdict(*standard, &bird, &filled(MOST_SIDE_CM));
                    let worst = verdict(*standard, &bird, &filled(0.1));
                    assert_eq!(best, Verdict::Met, "{standard:?} {bird:?} {cage:?}");
                    assert!(
                        matches!(worst, Verdict::Short(_)),
                        "{standard:?} {bird:?} {cage:?}"
                    );
                }
            }
        }
        assert!(open > 100, "the grid holds open cases");
    }

    // SJVFS 2014:17 (L 80), Annex 1: 45 cm deep and 70 cm long for a budgerigar.
    #[test]
    fn one_side_can_be_too_short_for_any_other_side() {
        let one_side = |length_cm| Cage {
            length_cm: Some(length_cm),
            width_cm: None,
            height_cm: None,
            birds: Some(1),
            outdoors: None,
        };
        let bird = plain(18.0);
        let Verdict::Short(lacking) = verdict(Standard::Sweden, &bird, &one_side(44.0)) else {
            panic!("44 cm is under the least depth");
        };
        assert_eq!(parts(&lacking), [0.0, 1.0, 0.0, 0.0, 0.0]);
        for length_cm in [45.0, 69.0, 70.0, 2_000.0] {
            let found = verdict(Standard::Sweden, &bird, &one_side(length_cm));
            assert_eq!(found, Verdict::NotKnown);
        }
    }

    // SJVFS 2014:17 (L 80), Annex 1: the floor grows with the birds.
    #[test]
    fn with_the_birds_uncounted_a_cage_can_be_short_but_never_met() {
        let bird = plain(18.0);
        let uncounted = Cage {
            birds: None,
            ..ROOMY
        };
        for standard in Standard::ALL {
            let found = assess(*standard, &bird, &uncounted).map(|found| found.need_most);
            assert_eq!(found, Ok(None));
            assert_ne!(verdict(*standard, &bird, &uncounted), Verdict::Met);
        }
        assert_eq!(
            verdict(Standard::Sweden, &bird, &uncounted),
            Verdict::NotKnown
        );
        let tiny = Cage {
            height_cm: Some(59.0),
            ..uncounted
        };
        assert!(matches!(
            verdict(Standard::Sweden, &bird, &tiny),
            Verdict::Short(_)
        ));
        // One bird is the least there can be.
        let need = assess(Standard::Sweden, &bird, &uncounted).map(|found| found.need_least);
        let for_one = Cage {
            birds: Some(1),
            ..ROOMY
        };
        let need_of_one = assess(Standard::Sweden, &bird, &for_one).map(|found| found.need_least);
        assert_eq!(need, need_of_one);
    }

    // Expert report of 10 January 1995: the mark between 1.0 x 0.5 x 0.5 m and 2.0 x 1.0 x 1.0 m is 25 cm.
    #[test]
    fn a_length_across_an_edge_asks_between_two_rows() {
        let across = Bird::of_length(Span::between(24.0, 26.0));
        let found = |cage: &Cage| assess(Standard::Germany, &across, cage);
        let sized = |length_cm, width_cm, height_cm| Cage {
            length_cm: Some(length_cm),
            width_cm: Some(width_cm),
            height_cm: Some(height_cm),
            ..ROOMY
        };
        let Ok(middle) = found(&sized(150.0, 80.0, 80.0)) else {
            panic!("usable");
        };
        assert_eq!(middle.verdict, Verdict::NotKnown);
        assert_eq!(middle.class, None);
        assert_eq!(middle.standard, Standard::Germany);
        let long_sides = |need: Option<Need>| need.and_then(|need| need.length_cm);
        assert_eq!(long_sides(middle.need_least), Some(100.0));
        assert_eq!(long_sides(middle.need_most), Some(200.0));
        let verdict = |cage: Cage| found(&cage).map(|found| found.verdict);
        assert_eq!(verdict(sized(200.0, 100.0, 100.0)), Ok(Verdict::Met));
        assert!(matches!(
            verdict(sized(99.0, 99.0, 100.0)),
            Ok(Verdict::Short(_))
        ));
    }

    // Queensland aviculture code: the last row is 900 mm.
    #[test]
    fn a_length_across_the_end_of_a_table_is_open() {
        let across = Bird::of_length(Span::between(85.0, 95.0));
        let found = assess(Standard::Queensland, &across, &ROOMY);
        let Ok(found) = found else {
            panic!("{found:?}");
        };
        assert_eq!(found.verdict, Verdict::NotKnown);
        assert!(found.need_least.is_some() && found.need_most.is_none());
        assert_eq!(found.class, None);
        assert_eq!(
            verdict(Standard::Queensland, &plain(95.0), &ROOMY),
            Verdict::NotCovered(NotCovered::BeyondTable)
        );
        assert_eq!(
            verdict(Standard::Queensland, &plain(85.0), &ROOMY),
            Verdict::Met
        );
    }

    #[test]
    fn each_standard_answers_for_itself() {
        let verdicts = |bird: &Bird| {
            let all: Vec<_> = Standard::ALL
                .iter()
                .map(|standard| verdict(*standard, bird, &ROOMY))
                .collect();
            all
        };
        let none = Verdict::NotCovered(NotCovered::NoFigure);
        let beyond = Verdict::NotCovered(NotCovered::BeyondTable);
        let excluded = Verdict::NotCovered(NotCovered::Excluded);
        // A grey: no Swiss row that could be checked, no Austrian row, too long for New South Wales.
        assert_eq!(
            verdicts(&plain(33.0)),
            [Verdict::Met, none, Verdict::Met, none, Verdict::Met, beyond]
        );
        let budgerigar = Bird {
            is_budgerigar: true,
            is_parakeet: true,
            ..plain(18.0)
        };
        assert_eq!(
            verdicts(&budgerigar),
            [
                Verdict::Met,
                Verdict::Met,
                excluded,
                excluded,
                Verdict::Met,
                Verdict::Met
            ]
        );
        let standards: Vec<_> = Standard::ALL
            .iter()
            .map(|standard| assess(*standard, &budgerigar, &ROOMY).map(|found| found.standard))
            .collect();
        let expected: Vec<_> = Standard::ALL.iter().copied().map(Ok).collect();
        assert_eq!(standards, expected);
    }

    #[test]
    fn a_bird_or_a_cage_that_is_none_is_refused() {
        for standard in Standard::ALL {
            for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 150.1] {
                assert!(assess(*standard, &plain(bad), &ROOMY).is_err(), "{bad}");
            }
            for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 2_000.1] {
                let bad = Some(bad);
                let wrong = [
                    Cage {
                        length_cm: bad,
                        ..ROOMY
                    },
                    Cage {
                        width_cm: bad,
                        ..ROOMY
                    },
                    Cage {
                        height_cm: bad,
                        ..ROOMY
                    },
                ];
                for cage in wrong {
                    assert!(assess(*standard, &plain(18.0), &cage).is_err(), "{bad:?}");
                }
                let wings = Bird {
                    wingspan_cm: bad,
                    ..plain(18.0)
                };
                assert!(assess(*standard, &wings, &ROOMY).is_err(), "{bad:?}");
            }
            for birds in [0, 201, u32::MAX] {
                let cage = Cage {
                    birds: Some(birds),
                    ..ROOMY
                };
                assert!(assess(*standard, &plain(18.0), &cage).is_err(), "{birds}");
            }
        }
        let wings = Bird {
            wingspan_cm: Some(30.0),
            ..plain(18.0)
        };
        assert!(assess(Standard::Sweden, &wings, &ROOMY).is_ok());
    }

    #[test]
    fn digits_left_over_from_metres_decide_nothing() {
        let bird = plain(0.55 * 100.0);
        let found = assess(Standard::Sweden, &bird, &ROOMY).map(|found| found.class);
        let up_to_fifty_five = Class::Lengths {
            over_cm: 45.0,
            up_to_cm: Some(55.0),
        };
        assert_eq!(found, Ok(Some(up_to_fifty_five)));
        let side_cm = 0.57 * 100.0;
        assert!(side_cm < 57.0, "the case this guards against");
        let cage = Cage {
            width_cm: Some(side_cm),
            ..ROOMY
        };
        // Twice 28.5 cm is 57 cm of depth.
        assert_eq!(verdict(Standard::Sweden, &plain(28.5), &cage), Verdict::Met);
    }
}
