//! A file as the body of a request, piece by piece.

use std::fs::File;
use std::io::{self, Read};
use std::pin::Pin;
use std::task::{Context, Poll};

use hyper::body::{Body, Bytes, Frame};

/// The most bytes of a piece.
const PIECE: usize = 64 * 1024;

/// A file that is sent. It is read as it is sent, in the thread that sends it and does nothing
/// else.
pub struct Sending(File);

impl Sending {
    /// Sends what is left of a file.
    pub const fn new(file: File) -> Self {
        Self(file)
    }
}

impl Body for Sending {
    type Data = Bytes;
    type Error = io::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, io::Error>>> {
        let mut piece = vec![0; PIECE];
        match self.get_mut().0.read(&mut piece) {
            Ok(0) => Poll::Ready(None),
            Ok(read) => {
                piece.truncate(read);
                Poll::Ready(Some(Ok(Frame::data(Bytes::from(piece)))))
            }
            Err(error) => Poll::Ready(Some(Err(error))),
        }
    }
}
