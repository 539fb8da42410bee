//! Two things at once, on two cores.

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
