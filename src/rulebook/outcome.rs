//! The ordered outcomes. Rules can only tighten them, so the order of rules and files cannot matter.

use serde::Serialize;

/// Declares an ordered outcome, loosest first, with the word written in rules.
macro_rules! outcome {
    ($(#[$doc:meta])* $type:ident { $( $(#[$vdoc:meta])* $variant:ident = $word:literal ),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        pub enum $type {
            $( $(#[$vdoc])* #[serde(rename = $word)] $variant ),*
        }

        impl $type {
            /// All of them, loosest first.
            pub const ALL: &[Self] = &[$(Self::$variant),*];
            /// Their words, loosest first.
            pub const WORDS: &[&str] = &[$($word),*];

            /// The word written in rules.
            #[must_use]
            pub fn word(self) -> &'static str {
                Self::WORDS[self as usize]
            }

            /// How far from the loosest, in steps.
            #[must_use]
            pub fn steps(self) -> usize {
                self as usize
            }
        }

        impl std::fmt::Display for $type {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

outcome! {
    /// How much harm is credible.
    Risk {
        /// No more than anyone who keeps a bird.
        Low = "low",
        /// Harm is likely to be slight.
        Moderate = "moderate",
        /// Broken skin is credible, or someone who cannot protect themselves is near.
        High = "high",
        /// Lasting harm is credible.
        Severe = "severe",
    }
}

outcome! {
    /// How work may begin.
    Start {
        /// Bird and people share the room under the session rules.
        OpenRoom = "open-room",
        /// Cage open, bird on a fixed station, people beyond its reach.
        Stationed = "stationed",
        /// Bars or mesh between beak and hand, with a retreat the bird can use.
        ThroughBarrier = "through-barrier",
        /// No sessions; management only.
        HandsOff = "hands-off",
    }
}

outcome! {
    /// How soon to reply.
    Contact {
        /// In the ordinary run of work.
        Routine = "routine",
        /// Within a week.
        OneWeek = "1 week",
        /// Within two days.
        TwoDays = "2 days",
        /// The same day.
        SameDay = "same day",
        /// Now.
        AtOnce = "at once",
    }
}

outcome! {
    /// How soon a vet has to see the bird.
    Vet {
        /// The yearly visit.
        Routine = "routine",
        /// A visit would help.
        Recommended = "recommended",
        /// Before any training.
        BeforeTraining = "before training",
        /// Now.
        Urgent = "urgent",
    }
}
