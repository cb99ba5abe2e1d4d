import Foundation
import HosewrightCore

/// What came of a meeting: a file that was written, or one that was taken in.
public enum Met: Sendable {
    /// A bundle to be shared.
    case bundled(URL, words: String)
    /// A bundle that was taken in.
    case takenIn(Merged)
}

/// Records that meet: a bundle out to the share sheet, and one in.
@MainActor
public final class MeetingScreen: Screen<Met> {
    /// Damaged records that were set aside, to be shared with someone who repairs them.
    public var setAside: [URL] { desk.setAside() }

    /// A screen that has shown nothing.
    public override init(desk: Desk) {
        super.init(desk: desk)
    }

    /// Writes the whole record into a file.
    public func bundle(to file: URL) {
        ask({ logbook, _ in try logbook.bundleOut(path: file.path) }) { [weak self] words in
            self?.shown = .bundled(file, words: words)
        }
    }

    /// Takes a file in, as often as one likes.
    public func takeIn(_ file: URL) {
        let told = Told { [weak self] words in self?.progress = words }
        ask({ logbook, _ in
            // A file of another app is open for as long as it is read.
            #if canImport(Darwin)
            let open = file.startAccessingSecurityScopedResource()
            defer { if open { file.stopAccessingSecurityScopedResource() } }
            #endif
            let merged = try logbook.mergeIn(path: file.path, progress: told)
            // What the system copied here for this app is of no more use.
            if file.deletingLastPathComponent().lastPathComponent == "Inbox" {
                try? FileManager.default.removeItem(at: file)
            }
            return merged
        }) { [weak self] merged in
            self?.shown = .takenIn(merged)
        }
    }
}
