import Foundation

/// What another app, or the system, opened this one with.
///
/// iOS opens no app of its own accord for a chip whose text is not a web
/// address: for one that is, the app needs a web domain of its own, and this one
/// has none. So a chip is read from within the app. A tag's text
/// that another app hands over as a link (`HW1:…`) comes here, and so does a
/// bundle out of the share sheet, Mail or Files.
public enum Opened: Hashable, Identifiable, Sendable {
    /// A bundle to be taken in.
    case bundle(URL)
    /// The text of a tag.
    case tag(String)

    public var id: Self { self }

    /// What it is; none if it is nothing of ours.
    public init?(_ url: URL) {
        if url.isFileURL {
            self = .bundle(url)
        } else if url.scheme?.lowercased() == "hw1" {
            // All of a tag is in capitals; the system may have folded the scheme.
            self = .tag(url.absoluteString.uppercased())
        } else {
            return nil
        }
    }
}
