import Foundation

/// A file that another app has, as a copy of this app's own: the record's file is
/// looked at first and taken in once the person says yes, and the other app may have
/// taken it away by then.
public enum Received {
    /// Copies a file; none if it can't be read. Blocks.
    public static func copy(_ file: URL, inbox: URL? = Received.inbox) -> URL? {
        #if canImport(Darwin)
        // A file of another app is open for as long as it is read.
        let open = file.startAccessingSecurityScopedResource()
        defer { if open { file.stopAccessingSecurityScopedResource() } }
        #endif
        let files = FileManager.default
        let copy = files.temporaryDirectory.appendingPathComponent("received-\(UUID().uuidString).hwbundle")
        guard (try? files.copyItem(at: file, to: copy)) != nil else { return nil }
        // What the system put into this app's own folder for it is of no more use. Any
        // other file is the person's, whatever its folder is called.
        if let inbox, file.deletingLastPathComponent().standardizedFileURL == inbox.standardizedFileURL {
            try? files.removeItem(at: file)
        }
        return copy
    }

    /// Keeps the bytes of a file that is handed on as it is; none if there is no room.
    public static func keep(_ bytes: Data, as name: String) -> URL? {
        let file = FileManager.default.temporaryDirectory.appendingPathComponent(name)
        return (try? bytes.write(to: file, options: .atomic)) == nil ? nil : file
    }

    /// Where the system puts what other apps hand over.
    public static var inbox: URL? {
        FileManager.default.urls(for: .documentDirectory, in: .userDomainMask).first?
            .appendingPathComponent("Inbox", isDirectory: true)
    }
}
