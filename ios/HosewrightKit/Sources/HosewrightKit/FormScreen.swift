import Foundation
import HosewrightCore

/// A form: each tap is kept before the next.
@MainActor
public final class FormScreen: Screen<FormShown> {
    private let of: FormOf
    /// What is said once it is submitted.
    public private(set) var done: FormSaved?

    /// What is said of the last answer, if the form goes on; empty if nothing is.
    public private(set) var said = ""

    /// A form.
    public init(desk: Desk, of: FormOf) {
        self.of = of
        super.init(desk: desk)
    }

    /// The field that the last refusal names.
    public var refused: String? { trouble?.field }

    /// Asks for the form, as far as it is filled in.
    public func load() {
        let of = of
        ask({ logbook, moment in try logbook.form(of: of, moment: moment) }) { [weak self] form in
            self?.shown = form
        }
    }

    /// A field was tapped, or a value chosen, typed or scanned in it.
    public func touch(_ field: String, _ value: String = "") {
        let of = of
        ask({ logbook, moment in
            try logbook.touchForm(of: of, field: field, value: value, moment: moment)
        }) { [weak self] form in
            self?.shown = form
        }
    }

    /// Submits it; an answer is what was tapped or scanned, if it has several.
    public func submit(_ answer: String? = nil) {
        let of = of
        ask({ logbook, moment in
            try logbook.submitForm(of: of, answer: answer, moment: moment)
        }) { [weak self] submitted in
            if let next = submitted.next {
                self?.shown = next
                self?.said = submitted.words
            } else {
                self?.done = submitted
            }
        }
    }

    /// Drops what is filled in, and starts again.
    public func drop() {
        let of = of
        ask({ logbook, moment in
            try logbook.dropForm(of: of)
            return try logbook.form(of: of, moment: moment)
        }) { [weak self] form in
            self?.shown = form
        }
    }
}
