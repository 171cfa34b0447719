//! Ordered scales of words: the outcomes rules tighten, and the orders measures are listed in.

/// Declares an ordered scale, loosest or first step first, with the word written in rules.
macro_rules! scale {
    ($(#[$doc:meta])* $type:ident { $( $(#[$vdoc:meta])* $variant:ident = $word:literal ),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
        pub enum $type {
            $( $(#[$vdoc])* #[serde(rename = $word)] $variant ),*
        }

        impl $type {
            /// All of them, in order.
            pub const ALL: &[Self] = &[$(Self::$variant),*];
            /// Their words, in order.
            pub const WORDS: &[&str] = &[$($word),*];

            /// The word written in rules.
            #[must_use]
            pub fn word(self) -> &'static str {
                Self::WORDS[self as usize]
            }

            /// How far from the first, in steps.
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

pub(super) use scale;
