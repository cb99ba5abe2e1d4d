import Foundation
import HosewrightCore

/// Describing a hose, on record or not yet: each field is kept before the next.
@MainActor
public final class HoseFormScreen: Screen<HoseForm> {
    private let of: HoseSubject
    /// What came of it, once it was written down.
    public private(set) var finished: Described?

    /// The form of a hose.
    public init(desk: Desk, of: HoseSubject) {
        self.of = of
        super.init(desk: desk)
    }

    /// The field that the last refusal names.
    public var refused: String? { trouble?.field }

    /// Asks for the form, as far as it is filled in.
    public func load() {
        let of = of
        ask({ logbook, moment in try logbook.hoseForm(of: of, moment: moment) }) { [weak self] form in
            self?.shown = form
        }
    }

    /// Fills a field in; whatever was typed is kept.
    public func fill(_ field: String, _ value: String) {
        let of = of
        ask({ logbook, moment in
            try logbook.fillInHose(of: of, field: field, value: value, moment: moment)
        }) { [weak self] form in
            self?.shown = form
        }
    }

    /// Yes or no.
    public func tick(_ field: String, _ yes: Bool) {
        fill(field, yes ? "yes" : "")
    }

    /// Writes it down.
    public func finish() {
        let of = of
        ask({ logbook, moment in try logbook.finishHose(of: of, moment: moment) }) { [weak self] done in
            self?.finished = done
        }
    }

    /// Drops what is filled in, and begins anew.
    public func drop() {
        let of = of
        ask({ logbook, moment in
            try logbook.dropHoseForm(of: of)
            return try logbook.hoseForm(of: of, moment: moment)
        }) { [weak self] form in
            self?.shown = form
        }
    }
}
