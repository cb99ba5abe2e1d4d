package org.hosewright.companion

import org.hosewright.core.Described
import org.hosewright.core.HoseForm
import org.hosewright.core.HoseSubject

/** Describing a hose, on record or not yet: each field is kept before the next. */
class HoseFormScreen(
    desk: Desk,
    private val of: HoseSubject,
    private val finished: (Described) -> Unit,
) : Screen<HoseForm>(desk) {
    /** The field that the last refusal names. */
    val refused: String? get() = trouble?.field

    /** Asks for the form, as far as it is filled in. */
    fun load() = ask({ logbook, moment -> logbook.hoseForm(of, moment) }) { shown = it }

    /** Fills a field in; whatever was typed is kept. */
    fun fill(field: String, value: String) =
        ask({ logbook, moment -> logbook.fillInHose(of, field, value, moment) }) { shown = it }

    /** Yes or no. */
    fun tick(field: String, yes: Boolean) = fill(field, if (yes) YES else "")

    /** Writes it down. */
    fun finish() = ask({ logbook, moment -> logbook.finishHose(of, moment) }) { finished(it) }

    /** Drops what is filled in, and begins anew. */
    fun drop() =
        ask({ logbook, moment ->
            logbook.dropHoseForm(of)
            logbook.hoseForm(of, moment)
        }) { shown = it }

    companion object {
        /** What stands in a field of yes and no for yes. */
        const val YES = "yes"
    }
}
