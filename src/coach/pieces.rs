//! Work in small pieces: an asynchronous function that pauses between them and waits for nothing.

use std::fmt;
use std::future::poll_fn;
use std::pin::{Pin, pin};
use std::task::{Context, Poll, Waker};

/// Work done in small pieces, so that a page can handle input in between. Dropping
/// it cancels the work.
pub struct Pieces<T>(Option<Pin<Box<dyn Future<Output = T>>>>);

impl<T> Pieces<T> {
    pub(super) fn new(work: impl Future<Output = T> + 'static) -> Self {
        Self(Some(Box::pin(work)))
    }

    /// Does the next piece; returns the result after the last one, and only then.
    pub fn go_on(&mut self) -> Option<T> {
        let result = piece(self.0.as_mut()?.as_mut());
        if result.is_some() {
            self.0 = None;
        }
        result
    }
}

impl<T> fmt::Debug for Pieces<T> {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.debug_struct("Pieces").field("done", &self.0.is_none()).finish()
    }
}

/// Does one piece.
fn piece<T>(work: Pin<&mut (impl Future<Output = T> + ?Sized)>) -> Option<T> {
    match work.poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(result) => Some(result),
        Poll::Pending => None,
    }
}

/// Does all pieces at once.
pub(super) fn at_once<T>(work: impl Future<Output = T>) -> T {
    let mut work = pin!(work);
    loop {
        if let Some(result) = piece(work.as_mut()) {
            return result;
        }
    }
}

/// Ends a piece of work; the next one begins here.
pub(super) async fn pause() {
    let mut paused = false;
    poll_fn(|_| if std::mem::replace(&mut paused, true) { Poll::Ready(()) } else { Poll::Pending })
        .await;
}
