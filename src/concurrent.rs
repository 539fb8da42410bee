//! Several things at once, on all cores.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does both and gives both results. A panic in either is a panic here.
pub(crate) fn both<A: Send, B>(
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B,
) -> (A, B) {
    std::thread::scope(|scope| {
        let one = scope.spawn(one);
        let other = other();
        match one.join() {
            Ok(one) => (one, other),
            Err(cause) => std::panic::resume_unwind(cause),
        }
    })
}

/// Does `work` for every item, as many at once as there are cores, and gives the results in the items' order.
/// A panic in any is a panic here.
pub(crate) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else {
                return done;
            };
            done.push((index, work(item)));
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
    let mut done = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..cores.min(items.len()))
            .map(|_| scope.spawn(worker))
            .collect();
        let mut done = Vec::with_capacity(items.len());
        for worker in workers {
            match worker.join() {
                Ok(part) => done.extend(part),
                Err(cause) => std::panic::resume_unwind(cause),
            }
        }
        done
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_the_order_of_the_items() {
        let items: Vec<u64> = (0..50).collect();
        let squares = each(&items, |item| item * item);
        assert!(
            squares
                .iter()
                .zip(&items)
                .all(|(square, item)| *square == item * item)
        );
        assert_eq!(squares.len(), items.len());
        assert!(each(&[] as &[u64], |item| *item).is_empty());
    }
}
