//! Many forms looked into on all cores, in the order in which they came, with no more than a few hundred held at a time.

use std::sync::mpsc;

use rayon::prelude::*;

use super::{Inbox, Item};

/// How many forms are taken at a time, and how many wait at most.
const BATCH: usize = 256;

/// Looks into every form of an inbox on the cores of a pool. `make` turns one into what is wanted of it, on any thread; `see` gets these
/// in the order of the inbox, as many at a time as there were. A form that comes alone is not kept waiting for others.
///
/// # Errors
/// The first that `see` gives; the rest is left unread.
pub fn each<T: Send, E>(
    pool: &rayon::ThreadPool,
    inbox: &mut Inbox<'_>,
    make: impl Fn(&Item) -> T + Sync,
    mut see: impl FnMut(Vec<T>) -> Result<(), E>,
) -> Result<(), E> {
    if pool.current_num_threads() == 1 {
        for item in inbox {
            see(vec![make(&item)])?;
        }
        return Ok(());
    }
    std::thread::scope(|scope| {
        let (give, take) = mpsc::sync_channel(BATCH);
        // Reading goes on while others are looked into. It ends when nobody takes any more.
        scope.spawn(move || {
            for item in inbox {
                if give.send(item).is_err() {
                    break;
                }
            }
        });
        while let Ok(first) = take.recv() {
            let batch: Vec<_> = std::iter::once(first)
                .chain(take.try_iter().take(BATCH - 1))
                .collect();
            see(pool.install(|| batch.par_iter().map(&make).collect()))?;
        }
        Ok(())
    })
}
