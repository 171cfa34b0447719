//! When a person who was bitten should ask a clinician: first aid and referral, never a diagnosis and never a dose.
//!
//! Sources. The emergency and urgent lists: NHS, animal and human bites. Hands and fingers, washing and watching:
//! A.D.A.M. medical encyclopedia. Sites and people at higher risk: NICE guideline NG184, human and animal bites
//! (November 2020), 1.1.6. Signs of infection: American Society for Surgery of the Hand. All are written for bites of
//! any animal; NG184 says that its evidence came from bites by dogs, cats and people, and that a bird's bite needs a
//! specialist's word, so a clinician must be told that it was a parrot.

use super::span::Span;

/// How long a minor bite is washed with mild soap and running water, minutes (A.D.A.M. medical encyclopedia).
pub const WASH_MINUTES: Span = Span {
    low: 3.0,
    high: 5.0,
};

/// How long a bite is watched for signs of infection, hours (A.D.A.M. medical encyclopedia).
pub const WATCH_HOURS: Span = Span {
    low: 24.0,
    high: 48.0,
};

/// Signs of infection to watch for, as keys (American Society for Surgery of the Hand).
pub const INFECTION_SIGNS: [&str; 9] = [
    "redness",
    "swelling",
    "heat",
    "growing-pain",
    "pus-or-drainage",
    "red-streaks-up-the-limb",
    "swollen-glands",
    "fever",
    "trouble-moving-the-part",
];

/// People for whom any bite that breaks skin is a higher risk, as keys (NICE NG184, 1.1.6, given there as examples).
pub const PEOPLE_AT_HIGHER_RISK: [&str; 4] = [
    "diabetes",
    "lowered-immunity",
    "no-spleen",
    "advanced-liver-disease",
];

/// Where the bite is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Site {
    /// An eye or its lid.
    Eye,
    /// Cheek, lip, nose, chin, forehead.
    Face,
    /// Scalp or ear.
    Head,
    /// Neck.
    Neck,
    /// Finger or thumb.
    Finger,
    /// Hand or wrist.
    Hand,
    /// Foot or toe.
    Foot,
    /// Genitals.
    Genitals,
    /// Skin over cartilage elsewhere.
    OverCartilage,
    /// A part with poor circulation.
    PoorCirculation,
    /// Arm, leg or trunk.
    Elsewhere,
}

impl Site {
    /// Every site.
    pub const ALL: [Self; 11] = [
        Self::Eye,
        Self::Face,
        Self::Head,
        Self::Neck,
        Self::Finger,
        Self::Hand,
        Self::Foot,
        Self::Genitals,
        Self::OverCartilage,
        Self::PoorCirculation,
        Self::Elsewhere,
    ];

    /// What the site alone asks for, once skin is broken.
    ///
    /// Face and head, and with them eye and ear: the NHS emergency list. Hand and foot: the NHS urgent list. Finger and
    /// neck: A.D.A.M. The rest: NICE NG184, 1.1.6.
    #[must_use]
    pub const fn advice(self) -> Advice {
        match self {
            Self::Eye | Self::Face | Self::Head => Advice::Emergency,
            Self::Neck
            | Self::Finger
            | Self::Hand
            | Self::Foot
            | Self::Genitals
            | Self::OverCartilage
            | Self::PoorCirculation => Advice::UrgentAdvice,
            Self::Elsewhere => Advice::HomeCare,
        }
    }
}

/// What is known of a bite. `None` is a blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wound {
    /// Where it is.
    pub site: Option<Site>,
    /// Whether skin is broken. The surface of an eye counts as skin: give an eye that was touched as broken.
    pub skin_broken: Option<bool>,
    /// Whether it is large or deep.
    pub large_or_deep: Option<bool>,
    /// Whether the bleeding will not stop.
    pub bleeding_will_not_stop: Option<bool>,
    /// Whether something is left in it.
    pub object_left: Option<bool>,
    /// Whether it is hot or swollen.
    pub hot_or_swollen: Option<bool>,
    /// Whether the person has a fever.
    pub fever: Option<bool>,
    /// Whether fluid leaks from it.
    pub leaking: Option<bool>,
    /// Whether it smells bad.
    pub bad_smell: Option<bool>,
    /// Whether it is a puncture.
    pub puncture: Option<bool>,
    /// Whether the person is one of [`PEOPLE_AT_HIGHER_RISK`], or like them.
    pub person_at_higher_risk: Option<bool>,
}

/// Where to turn, from least to most pressing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Advice {
    /// Wash, cover, and watch for [`WATCH_HOURS`].
    HomeCare,
    /// Ask a clinician today.
    UrgentAdvice,
    /// Go to an emergency department.
    Emergency,
}

/// Where to turn with a bite: by what is known, and until the blanks are answered.
///
/// The first counts no blank; the second counts every blank against. The first is never the more pressing, and an
/// answer to a blank can only raise the first and lower the second. Skin known to be whole is home care whatever else
/// is said.
#[must_use]
pub fn advice(wound: &Wound) -> (Advice, Advice) {
    (read(wound, false), read(wound, true))
}

fn read(wound: &Wound, blank: bool) -> Advice {
    let holds = |answer: Option<bool>| answer.unwrap_or(blank);
    if !holds(wound.skin_broken) {
        return Advice::HomeCare;
    }
    let site = match wound.site {
        Some(site) => site.advice(),
        None if blank => Advice::Emergency,
        None => Advice::HomeCare,
    };
    // The NHS lists; a person at higher risk from NICE NG184; a puncture because the Merck Manual counts it as dirty.
    let emergency = [wound.large_or_deep, wound.bleeding_will_not_stop];
    let urgent = [
        wound.object_left,
        wound.hot_or_swollen,
        wound.fever,
        wound.leaking,
        wound.bad_smell,
        wound.puncture,
        wound.person_at_higher_risk,
    ];
    let signs = if emergency.into_iter().any(holds) {
        Advice::Emergency
    } else if urgent.into_iter().any(holds) {
        Advice::UrgentAdvice
    } else {
        Advice::HomeCare
    };
    site.max(signs)
}

#[cfg(test)]
mod tests {
    use super::Advice::{Emergency, HomeCare, UrgentAdvice};
    use super::{
        Advice, INFECTION_SIGNS, PEOPLE_AT_HIGHER_RISK, Site, WASH_MINUTES, WATCH_HOURS, Wound,
        advice,
    };

    /// A small clean scratch on the forearm of a healthy person, all answered.
    const SCRATCH: Wound = Wound {
        site: Some(Site::Elsewhere),
        skin_broken: Some(true),
        large_or_deep: Some(false),
        bleeding_will_not_stop: Some(false),
        object_left: Some(false),
        hot_or_swollen: Some(false),
        fever: Some(false),
        leaking: Some(false),
        bad_smell: Some(false),
        puncture: Some(false),
        person_at_higher_risk: Some(false),
    };

    const SIGNS: [fn(&mut Wound) -> &mut Option<bool>; 9] = [
        |wound| &mut wound.large_or_deep,
        |wound| &mut wound.bleeding_will_not_stop,
        |wound| &mut wound.object_left,
        |wound| &mut wound.hot_or_swollen,
        |wound| &mut wound.fever,
        |wound| &mut wound.leaking,
        |wound| &mut wound.bad_smell,
        |wound| &mut wound.puncture,
        |wound| &mut wound.person_at_higher_risk,
    ];

    fn at(site: Site) -> Wound {
        Wound {
            site: Some(site),
            ..SCRATCH
        }
    }

    fn known(wound: Wound) -> Advice {
        let (known, until_answered) = advice(&wound);
        assert_eq!(known, until_answered, "all is answered: {wound:?}");
        known
    }

    // NHS, animal and human bites: no trigger of either list.
    #[test]
    fn a_clean_forearm_scratch_has_no_nhs_trigger() {
        assert_eq!(known(SCRATCH), HomeCare);
    }

    // NHS urgent list: bite on the hand; A.D.A.M.: hand or finger right away.
    #[test]
    fn a_fingertip_puncture_needs_urgent_advice_by_nhs_and_adam() {
        let puncture = Wound {
            puncture: Some(true),
            ..at(Site::Finger)
        };
        assert_eq!(known(puncture), UrgentAdvice);
    }

    // NHS emergency list: bite on the face or head.
    #[test]
    fn a_cheek_is_an_emergency_by_nhs() {
        assert_eq!(known(at(Site::Face)), Emergency);
    }

    // NHS emergency list: bleeding that will not stop.
    #[test]
    fn bleeding_that_will_not_stop_is_an_emergency_by_nhs() {
        let bleeding = Wound {
            bleeding_will_not_stop: Some(true),
            ..SCRATCH
        };
        assert_eq!(known(bleeding), Emergency);
    }

    // NHS: face, head, hand, foot. A.D.A.M.: neck, finger. NICE NG184, 1.1.6: genitals, skin over cartilage, areas of
    // poor circulation. Eye and ear are parts of face and head.
    #[test]
    fn each_site_asks_for_what_nhs_adam_and_nice_say() {
        let expected = [
            Emergency,
            Emergency,
            Emergency,
            UrgentAdvice,
            UrgentAdvice,
            UrgentAdvice,
            UrgentAdvice,
            UrgentAdvice,
            UrgentAdvice,
            UrgentAdvice,
            HomeCare,
        ];
        assert_eq!(Site::ALL.map(|site| known(at(site))), expected);
    }

    // NHS emergency list: large or deep, bleeding. NHS urgent list: object, hot or swollen, fever, fluid, smell. Merck
    // Manual: a puncture is dirty. NICE NG184: people at higher risk.
    #[test]
    fn each_sign_alone_raises_a_scratch() {
        for (index, sign) in SIGNS.into_iter().enumerate() {
            let mut wound = SCRATCH;
            *sign(&mut wound) = Some(true);
            let expected = if index < 2 { Emergency } else { UrgentAdvice };
            assert_eq!(known(wound), expected, "{wound:?}");
        }
    }

    #[test]
    fn the_more_pressing_of_site_and_sign_wins() {
        let hot_face = Wound {
            hot_or_swollen: Some(true),
            ..at(Site::Face)
        };
        assert_eq!(known(hot_face), Emergency);
        let deep_hand = Wound {
            large_or_deep: Some(true),
            ..at(Site::Hand)
        };
        assert_eq!(known(deep_hand), Emergency);
        assert!(HomeCare < UrgentAdvice && UrgentAdvice < Emergency);
    }

    #[test]
    fn whole_skin_is_home_care() {
        for site in Site::ALL {
            let wound = Wound {
                skin_broken: Some(false),
                ..at(site)
            };
            assert_eq!(known(wound), HomeCare);
        }
        let only_that = Wound {
            skin_broken: Some(false),
            ..Wound::default()
        };
        assert_eq!(advice(&only_that), (HomeCare, HomeCare));
    }

    #[test]
    fn a_bite_nobody_described_is_an_emergency_until_answered() {
        assert_eq!(advice(&Wound::default()), (HomeCare, Emergency));
        let somewhere = Wound {
            site: None,
            ..SCRATCH
        };
        assert_eq!(advice(&somewhere), (HomeCare, Emergency));
        let perhaps_broken = Wound {
            skin_broken: None,
            ..at(Site::Hand)
        };
        assert_eq!(advice(&perhaps_broken), (HomeCare, UrgentAdvice));
        let perhaps_feverish = Wound {
            fever: None,
            ..SCRATCH
        };
        assert_eq!(advice(&perhaps_feverish), (HomeCare, UrgentAdvice));
    }

    #[test]
    fn an_answer_never_raises_what_holds_until_answered_nor_lowers_what_is_known() {
        let answers = [None, Some(false), Some(true)];
        let mut wounds = vec![Wound::default()];
        let sites = [
            None,
            Some(Site::Face),
            Some(Site::Hand),
            Some(Site::Elsewhere),
        ];
        wounds = sites
            .into_iter()
            .flat_map(|site| {
                wounds
                    .iter()
                    .map(move |wound| Wound { site, ..*wound })
                    .collect::<Vec<_>>()
            })
            .collect();
        let skin: fn(&mut Wound) -> &mut Option<bool> = |wound| &mut wound.skin_broken;
        let fields: Vec<_> = std::iter::once(skin).chain(SIGNS).collect();
        for field in &fields {
            wounds = wounds
                .iter()
                .flat_map(|wound| {
                    answers.map(|answer| {
                        let mut wound = *wound;
                        *field(&mut wound) = answer;
                        wound
                    })
                })
                .collect();
        }
        assert_eq!(wounds.len(), 4 * 3_usize.pow(10));
        for wound in wounds {
            let before = advice(&wound);
            assert!(before.0 <= before.1);
            let tightens = |after: Wound| {
                let after = advice(&after);
                assert!(after.0 >= before.0 && after.1 <= before.1, "{wound:?}");
            };
            if wound.site.is_none() {
                for site in Site::ALL {
                    tightens(Wound {
                        site: Some(site),
                        ..wound
                    });
                }
            }
            for field in &fields {
                let mut after = wound;
                if field(&mut after).is_none() {
                    for answer in [true, false] {
                        *field(&mut after) = Some(answer);
                        tightens(after);
                    }
                }
            }
        }
    }

    // A.D.A.M. medical encyclopedia: three to five minutes; a day to two days.
    #[test]
    fn washing_and_watching_last_as_long_as_adam_says() {
        assert_eq!((WASH_MINUTES.low, WASH_MINUTES.high), (3.0, 5.0));
        assert_eq!((WATCH_HOURS.low, WATCH_HOURS.high), (24.0, 48.0));
    }

    // American Society for Surgery of the Hand; NICE NG184, 1.1.6.
    #[test]
    fn the_lists_hold_each_key_once() {
        for keys in [&INFECTION_SIGNS[..], &PEOPLE_AT_HIGHER_RISK[..]] {
            let mut once = keys.to_vec();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), keys.len());
            let plain = |key: &str| key.chars().all(|c| c.is_ascii_lowercase() || c == '-');
            assert!(keys.iter().all(|key| plain(key)));
        }
        for sign in ["redness", "swelling", "heat", "fever", "swollen-glands"] {
            assert!(INFECTION_SIGNS.contains(&sign));
        }
        assert!(PEOPLE_AT_HIGHER_RISK.contains(&"diabetes"));
    }
}
