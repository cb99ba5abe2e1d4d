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
class MeetingScreen(desk: Desk) : Screen<Met>(desk) {
    /** Writes the whole record into a file. */
    fun bundle(path: String) =
        ask({ logbook, _ -> Met.Bundled(path, logbook.bundleOut(path)) }) { shown = it }

    /** Another app did not hand its file over. */
    fun failed(why: Trouble) {
        trouble = why
        onChange()
    }

    /** Takes a file in, as often as one likes. */
    fun takeIn(path: String) = ask({ logbook, _ -> Met.TakenIn(logbook.mergeIn(path)) }) { shown = it }
}
