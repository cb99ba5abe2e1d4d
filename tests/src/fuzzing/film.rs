use hosewright_core::journal::{Seen, Viewer};

use super::{Taken, said};

/// A film: frames behind their lengths (2 bytes) and without their checks, which are made right
/// here, since chance never would. Whatever they say, nothing but what was filmed comes of it,
/// and what is kept of it is gone on with from where it was.
pub fn film(bytes: &[u8]) -> Taken {
    let mut viewer = Viewer::new();
    let mut rest = bytes;
    while let Some(([high, low], behind)) = rest.split_first_chunk::<2>() {
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        let Some((frame, behind)) = behind.split_at_checked(length) else { break };
        let before = viewer.viewed();
        let check = crc32fast::hash(frame).to_be_bytes();
        let seen = viewer.see(&[frame, &check].concat());
        let after = viewer.viewed();
        match seen {
            Seen::New | Seen::Last => assert!(after.had > before.had),
            Seen::Known => assert_eq!(after, before),
            Seen::Wrong => assert_eq!(after.had, 0),
            Seen::OtherFilm | Seen::Later | Seen::NoFrame => {
                assert_eq!((after.had, after.ignored), (before.had, before.ignored + 1));
            }
        }
        rest = behind;
    }
    let again = said(Viewer::go_on(&viewer.kept())).unwrap_or_default();
    let (had, needed) = (viewer.viewed().had, viewer.viewed().needed);
    if had > 0 {
        assert_eq!((again.viewed().had, again.viewed().needed), (had, needed));
    }
    let content = said(viewer.content());
    assert_eq!(said(again.content()), content);
    if content.is_some() { Taken::Read } else { Taken::Refused }
}
