package org.hosewright.companion

import org.hosewright.core.FormOf
import org.hosewright.core.FormSaved
import org.hosewright.core.FormShown

/** A form: each tap is kept before the next. */
class FormScreen(
    desk: Desk,
    private val of: FormOf,
    private val saved: (FormSaved) -> Unit = {},
) : Screen<FormShown>(desk) {
    /** What is said once it is submitted. */
    var done: FormSaved? = null
        private set

    /** What is said of the last answer, if the form goes on. */
    var said: String? = null
        private set

    /** The field that the last refusal names. */
    val refused: String? get() = trouble?.field

    /** Asks for the form, as far as it is filled in. */
    fun load() = ask({ logbook, moment -> logbook.form(of, moment) }) { shown = it }

    /** A field was tapped, or [value] chosen, typed or scanned in it. */
    fun touch(field: String, value: String = "") =
        ask({ logbook, moment -> logbook.touchForm(of, field, value, moment) }) { shown = it }

    /** Submits it; [answer] is what was tapped or scanned, if it has several answers. */
    fun submit(answer: String? = null) =
        ask({ logbook, moment -> logbook.submitForm(of, answer, moment) }) { submitted ->
            val next = submitted.next
            if (next == null) {
                done = submitted
                saved(submitted)
            } else {
                shown = next
                said = submitted.words.ifEmpty { null }
            }
        }

    /** Drops what is filled in, and starts again. */
    fun drop() =
        ask({ logbook, moment ->
            logbook.dropForm(of)
            logbook.form(of, moment)
        }) { shown = it }
}
