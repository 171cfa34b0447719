//! One pattern for every value of a step: ordered from easy to hard, each with the key its wording is kept under.

/// Declares a value ordered from easy to hard, with `ALL`, `key` and `harder`.
macro_rules! ordered {
    ($(#[$about:meta])* $name:ident { $($(#[$says:meta])* $value:ident = $key:literal,)+ }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$says])* $value,)+
        }

        impl $name {
            /// Every value, in order.
            pub const ALL: &'static [Self] = &[$(Self::$value,)+];

            /// The key its wording is kept under in `rules/ladder.yaml`.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self {
                    $(Self::$value => $key,)+
                }
            }

            /// The next value in order; `None` for the last.
            #[must_use]
            pub fn harder(self) -> Option<Self> {
                Self::ALL.iter().copied().find(|other| *other > self)
            }
        }
    };
}

pub(crate) use ordered;

#[cfg(test)]
// The macro makes public types, also in here.
#[allow(unreachable_pub)]
mod tests {
    ordered! {
        /// Three values.
        Three {
            /// Easy.
            Easy = "easy",
            /// Middling.
            Middling = "mid-way",
            /// Hard.
            Hard = "hard",
        }
    }

    #[test]
    fn one_value_leads_to_the_next() {
        assert_eq!(Three::Easy.harder(), Some(Three::Middling));
        assert_eq!(Three::Middling.harder(), Some(Three::Hard));
        assert_eq!(Three::Hard.harder(), None);
        assert!(Three::ALL.is_sorted() && Three::ALL.len() == 3);
        assert_eq!(
            Three::ALL.iter().map(|it| it.key()).collect::<Vec<_>>(),
            ["easy", "mid-way", "hard"]
        );
    }
}
