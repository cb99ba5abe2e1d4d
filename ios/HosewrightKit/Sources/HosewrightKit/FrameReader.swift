import Foundation
import HosewrightCore

/// Looks at another screen's film, on the camera's own queue and on no other.
public final class FilmEye: Sendable {
    private let page: Page

    init(_ page: Page) {
        self.page = page
    }

    /// Looks at a grey plane, which stays valid for the length of this call.
    public func see(plane: UnsafeMutableRawPointer, width: Int, height: Int, stride: Int) -> FilmSeen? {
        let luma = Data(bytesNoCopy: plane, count: stride * (height - 1) + width, deallocator: .none)
        return try? page.watched(luma: luma, width: UInt32(width), height: UInt32(height), stride: UInt32(stride))
    }
}

/// Reads camera frames, on the camera's own queue and on no other. The frames
/// from a camera's beginning to `endFilm` are one film, which the core follows
/// from frame to frame.
public final class FrameReader: @unchecked Sendable {
    /// The film that is read; touched on the camera's queue alone.
    private var film: FilmReader?

    /// A reader.
    public init() {}

    /// Reads a grey plane, which stays valid for the length of this call: the
    /// camera's own queue waits here, and drops what comes in the meantime.
    public func read(plane: UnsafeMutableRawPointer, width: Int, height: Int, stride: Int) -> [SeenText] {
        let film = film ?? FilmReader()
        self.film = film
        let length = stride * (height - 1) + width
        // Handed over as it is: no byte of it is copied on this side.
        let luma = Data(bytesNoCopy: plane, count: length, deallocator: .none)
        let seen = try? film.read(
            luma: luma, width: UInt32(width), height: UInt32(height), stride: UInt32(stride))
        return seen ?? []
    }

    /// What to do about a tag that shows itself in the frame that was read last and
    /// can't be read yet.
    public var hint: String? { film?.hint() }

    /// The camera is given back: what was kept of its film goes, and the next
    /// frame begins another.
    public func endFilm() {
        film = nil
    }
}
