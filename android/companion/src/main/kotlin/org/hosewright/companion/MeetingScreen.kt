package org.hosewright.companion

import org.hosewright.core.Merged

/** What came of a meeting: a file that was written, or one that was taken in. */
sealed class Met {
    /** A bundle to be shared. */
    data class Bundled(val path: String, val words: String) : Met()

    /** A bundle that was taken in. */
    data class TakenIn(val merged: Merged) : Met()
}

/** Records that meet: a bundle out to the share sheet, and one in. */
class MeetingScreen(private val desk: Desk) : Screen<Met>(desk) {
    /** How far a file is that is taken in just now. */
    var progress: String? = null
        private set

    /** Damaged records that were set aside, to be shared with someone who repairs them. */
    var setAside: List<String> = emptyList()
        private set

    /** Asks for what was set aside, when the screen is looked at. */
    fun load() =
        desk.setAside {
            // A page that is rebuilt for nothing cuts off what a screen reader says.
            if (it is Outcome.Told && it.value != setAside) {
                setAside = it.value
                onChange()
            }
        }

    /** Writes the whole record into a file. */
    fun bundle(path: String) =
        ask({ logbook, _ -> Met.Bundled(path, logbook.bundleOut(path)) }) { shown = it }

    /** Another app did not hand its file over. */
    fun failed(why: Trouble) {
        trouble = why
        onChange()
    }

    /** Takes a file in, as often as one likes. */
    fun takeIn(path: String) {
        val told = desk.progress { progress = it; onChange() }
        ask({ logbook, _ -> Met.TakenIn(logbook.mergeIn(path, told)) }, { progress = null }) {
            progress = null
            shown = it
        }
    }
}
