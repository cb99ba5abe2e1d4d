package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.FilledIn
import org.hosewright.core.FindingChoice
import org.hosewright.core.Inspection
import org.hosewright.core.InspectionForm
import org.hosewright.core.Ticked

/** Looking a hose over: each touch is kept before the next. */
class InspectionScreen(
    desk: Desk,
    private val code: String,
    private val kind: Inspection,
    private val finished: (Answer) -> Unit,
) : Screen<InspectionForm>(desk) {
    /** What was touched, also while the core still keeps it. */
    private var filled: FilledIn? = null

    /** Asks for the form, as far as it is filled in. */
    fun load() = ask({ logbook, moment -> logbook.inspection(code, kind, moment) }, then = ::show)

    /** Looked at, nothing found. */
    fun nothingFound(checkpoint: String) = tick(checkpoint) { emptyList() }

    /** Something found, or taken back where it was found already. */
    fun toggle(checkpoint: String, choice: FindingChoice) =
        tick(checkpoint) { found -> if (choice.seen in found) found - choice.seen else found + choice.seen }

    /** Something counted; none takes it back. */
    fun counted(checkpoint: String, choice: FindingChoice, count: UInt?) =
        tick(checkpoint) { found ->
            val others = found.filterNot { it.startsWith(choice.seen) }
            if (count == null) others else others + "${choice.seen}$count"
        }

    /** Not looked at after all. */
    fun untick(checkpoint: String) = fill { it.copy(ticked = it.ticked.filterNot { t -> t.checkpoint == checkpoint }) }

    /** The result of a leak test. */
    fun result(passed: Boolean) = fill { it.copy(passed = passed) }

    /** The pressure of a leak test, as typed. */
    fun pressure(text: String) = fill { it.copy(pressure = text) }

    /** A note. */
    fun note(text: String) = fill { it.copy(note = text) }

    /** Writes it down. */
    fun finish() =
        ask({ logbook, moment -> logbook.finishInspection(code, kind, moment) }) { finished(it) }

    /** Drops what is filled in, and begins anew. */
    fun drop() =
        ask({ logbook, moment ->
            logbook.dropInspection(code, kind)
            logbook.inspection(code, kind, moment)
        }, then = ::show)

    private fun tick(checkpoint: String, found: (List<String>) -> List<String>) = fill { before ->
        val was = before.ticked.find { it.checkpoint == checkpoint }?.findings.orEmpty()
        val others = before.ticked.filterNot { it.checkpoint == checkpoint }
        before.copy(ticked = others + Ticked(checkpoint, found(was)))
    }

    private fun fill(change: (FilledIn) -> FilledIn) {
        val before = filled ?: return
        val after = change(before)
        filled = after
        ask(
            { logbook, moment -> logbook.fillIn(code, kind, after, moment) },
            // What the core refuses is not filled in; what came after it is asked again.
            refused = { if (filled === after) filled = shown?.filled },
            then = ::show,
        )
    }

    private fun show(form: InspectionForm) {
        shown = form
        if (asking == 0) filled = form.filled
    }
}
