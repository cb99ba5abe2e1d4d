import Foundation
import HosewrightCore

/// Reads camera frames on a queue of its own, one at a time. A frame that comes
/// while another is read is passed over.
public final class FrameReader: @unchecked Sendable {
    private let lock = NSLock()
    private var reading = false

    /// A reader.
    public init() {}

    /// Reads a grey plane, which stays valid for the length of this call: the
    /// camera's own queue waits here, and drops what comes meanwhile.
    public func read(plane: UnsafeMutableRawPointer, width: Int, height: Int, stride: Int) -> [SeenText] {
        guard begin() else { return [] }
        defer { end() }
        let length = stride * (height - 1) + width
        // Handed over as it is: no byte of it is copied on this side.
        let luma = Data(bytesNoCopy: plane, count: length, deallocator: .none)
        let seen = try? readFrame(luma: luma, width: UInt32(width), height: UInt32(height), stride: UInt32(stride))
        return seen ?? []
    }

    private func begin() -> Bool {
        lock.lock()
        defer { lock.unlock() }
        if reading { return false }
        reading = true
        return true
    }

    private func end() {
        lock.lock()
        reading = false
        lock.unlock()
    }
}
