//! Every mistake there is, each a struct of its own, by where it is met.

pub mod data;
pub mod departure;
pub mod edition;
pub mod exercise;
pub mod file;
pub mod inbox;
pub mod intake;
pub mod log;
pub mod record;
pub mod rulebook;
pub mod wording;

/// Declares mistakes: severity, kebab-case name, struct with its fields, one sentence of what is wrong, one of what to do.
macro_rules! mistakes {
    ($( $(#[$doc:meta])* $severity:ident $name:literal $type:ident { $($field:ident : $of:ty),* } $says:literal => $advice:expr; )*) => {
        $(
            $(#[$doc])*
            #[derive(Debug, thiserror::Error)]
            #[error($says)]
            pub struct $type {
                $(
                    #[doc = concat!("What the sentence calls `", stringify!($field), "`.")]
                    pub $field: $of,
                )*
            }

            impl crate::mistake::Mistake for $type {
                fn name(&self) -> &'static str {
                    $name
                }
                fn severity(&self) -> crate::mistake::Severity {
                    crate::mistake::Severity::$severity
                }
                #[allow(unused_variables)]
                fn advice(&self) -> String {
                    let Self { $($field),* } = self;
                    $advice.to_string()
                }
            }
        )*

        /// The names of the mistakes of this file, with the first line of what each is about.
        pub const NAMES: &[&str] = &[$($name),*];
    };
}
pub(crate) use mistakes;

/// The names of all mistakes, sorted.
#[must_use]
pub fn all_names() -> Vec<&'static str> {
    let mut names: Vec<&str> = [
        file::NAMES,
        inbox::NAMES,
        intake::NAMES,
        log::NAMES,
        record::NAMES,
        data::NAMES,
        departure::NAMES,
        edition::NAMES,
        exercise::NAMES,
        rulebook::NAMES,
        wording::NAMES,
    ]
    .concat();
    names.sort_unstable();
    names
}

/// "Did you mean" where a name is close, else what to do.
fn meant(close: &Option<String>, otherwise: impl Into<String>) -> String {
    close.as_ref().map_or_else(
        || otherwise.into(),
        |close| format!("did you mean `{close}`?"),
    )
}
