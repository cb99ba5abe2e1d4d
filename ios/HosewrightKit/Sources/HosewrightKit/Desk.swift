import Foundation
@_exported import HosewrightCore

/// The record, asked from one queue of its own: calls into the core block, and a
/// screen never waits. It is opened with the first question. What waits for a network has
/// queues of its own, since whoever scans does not wait for one.
public final class Desk: Sendable {
    private let record: PhoneRecord
    private let today: @Sendable () -> String
    private let queue = DispatchQueue(label: "hosewright.record")
    /// Where frames of films are made, which needs no record.
    private let films = DispatchQueue(label: "hosewright.films")
    /// Where counters are met that a person asks for, and those that nobody asks for.
    private let calls = DispatchQueue(label: "hosewright.calls")
    private let unasked = DispatchQueue(label: "hosewright.unasked")
    /// Counters are being met that nobody asked for.
    @MainActor private var meets = false
    /// The page that a person looks at.
    @MainActor private weak var looked: Screen?

    /// A desk over the record at a place.
    public init(place: Place, today: @escaping @Sendable () -> String = Desk.day) {
        record = PhoneRecord(place: place)
        self.today = today
    }

    /// Does something before what is touched next, off the main thread.
    public func beside<T: Sendable>(_ work: @escaping @Sendable () -> T, told: @escaping @MainActor @Sendable (T) -> Void) {
        on(queue, work, told: told)
    }

    private func on<T: Sendable>(
        _ queue: DispatchQueue, _ work: @escaping @Sendable () -> T, told: @escaping @MainActor @Sendable (T) -> Void
    ) {
        queue.async {
            let done = work()
            DispatchQueue.main.async { MainActor.assumeIsolated { told(done) } }
        }
    }

    /// A person looks at a page, for the first time or again.
    @MainActor func looks(at page: Screen) {
        looked = page
        meetByItself()
    }

    /// A person looks at a page no more.
    @MainActor func left(_ page: Screen) {
        guard looked === page else { return }
        looked = nil
        meetByItself()
    }

    /// Meets counters where the core says that it is time; one after another, however often it
    /// is called: whenever the app comes before a person, and by pages that are looked at.
    @MainActor public func meetByItself() {
        guard !meets else { return }
        meets = true
        on(unasked, { [record, today] in record.meetByItself(today: today()) }) { [weak self] new in
            self?.meets = false
            if new { self?.looked?.touch(.cameIn) }
        }
    }

    /// A page's touches, in their order. They go into the queue at once: what is touched
    /// first is done first, however many are touched in one turn of the main thread.
    final class Turn: Sendable {
        private let desk: Desk
        private let page: Page
        private let heard: Heard
        /// A network is waited for, and the record is kept from nobody meanwhile.
        let calls: Bool

        @MainActor var told: (@MainActor @Sendable (String) -> Void)? {
            get { heard.told }
            set { heard.told = newValue }
        }

        @MainActor init(desk: Desk, of: PageOf) {
            self.desk = desk
            let heard = Heard()
            self.heard = heard
            page = Page(record: desk.record, of: of, progress: heard)
            if case .form(of: .counters) = of { calls = true } else { calls = false }
        }

        func touch(_ touch: Touch, then: @escaping @MainActor @Sendable (Reply) -> Void) {
            let queue = calls ? desk.calls : desk.queue
            desk.on(queue, { [page, today = desk.today] in page.touch(touch: touch, today: today()) }, told: then)
        }

        func stop() { page.stop() }

        @MainActor func looks(at screen: Screen) { desk.looks(at: screen) }

        @MainActor func left(_ screen: Screen) { desk.left(screen) }

        func frame(_ texts: [String]) -> Bool { page.frame(texts: texts) }

        var eye: FilmEye { FilmEye(page) }

        func strip(from: UInt64, told: @escaping @MainActor @Sendable (FilmStrip?) -> Void) {
            desk.films.async { [page] in
                let strip = try? page.strip(from: from)
                DispatchQueue.main.async { MainActor.assumeIsolated { told(strip) } }
            }
        }
    }

    /// Hears on the main thread how far something long is.
    private final class Heard: ProgressListener {
        @MainActor var told: (@MainActor @Sendable (String) -> Void)?

        @MainActor init() {}

        func told(done: UInt64, all: UInt64, words: String) {
            DispatchQueue.main.async { MainActor.assumeIsolated { self.told?(words) } }
        }
    }

    /// Today by this phone's own calendar, as 2026-06-15.
    @Sendable public static func day() -> String {
        let parts = Calendar(identifier: .gregorian).dateComponents([.year, .month, .day], from: Date())
        return String(format: "%04d-%02d-%02d", parts.year ?? 0, parts.month ?? 0, parts.day ?? 0)
    }

    /// The phone's own record. The key lies apart and is left out of backups, so
    /// that a restored record is known to be a copy.
    public static func ownPlace() throws -> Place {
        let files = FileManager.default
        let support = try files.url(for: .applicationSupportDirectory, in: .userDomainMask, appropriateFor: nil, create: true)
        let record = support.appendingPathComponent("record", isDirectory: true)
        var keys = support.appendingPathComponent("keys", isDirectory: true)
        try files.createDirectory(at: record, withIntermediateDirectories: true)
        try files.createDirectory(at: keys, withIntermediateDirectories: true)
        var values = URLResourceValues()
        values.isExcludedFromBackup = true
        try keys.setResourceValues(values)
        return Place(store: record.appendingPathComponent("record.hosewright").path, keys: keys.path)
    }

    /// The phone's own record as files: the store, and what SQLite has beside it
    /// and has not moved into it yet. None if there is no record.
    public static func ownFiles() -> [URL] {
        guard let place = try? ownPlace() else { return [] }
        return [place.store, place.store + "-wal"]
            .filter { FileManager.default.fileExists(atPath: $0) }
            .map { URL(fileURLWithPath: $0) }
    }
}
