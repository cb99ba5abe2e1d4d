package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.HistoryLine
import org.hosewright.core.LogbookInterface
import org.hosewright.core.Photograph
import org.hosewright.core.PictureFormat
import org.hosewright.core.TagPicture

/** An answer with what happened to the hose, and photographs of what was found on it. */
data class HoseShown(val answer: Answer, val history: List<HistoryLine>, val photographs: List<Photograph>)

/** One hose: its answer, and what happened to it. */
class HoseScreen(desk: Desk, private val text: String) : Screen<HoseShown>(desk) {
    /** The tag as a picture, once it was asked for. */
    var picture: TagPicture? = null
        private set

    /** Asks for the answer, when the screen is looked at. */
    fun load() = ask({ logbook, moment -> shownFor(logbook, logbook.answer(text, moment)) }) { shown = it }

    /** Draws the tag for a printer. */
    fun drawTag(format: PictureFormat, size: String = "20mm", dotsAnInch: Int = 300) =
        ask({ logbook, _ -> logbook.tagPicture(code(), format, size, dotsAnInch.toUShort()) }) {
            picture = it
        }

    /** Something of the phone stood in the way. */
    fun failed(why: Trouble) {
        trouble = why
        onChange()
    }

    private fun code() = shown?.answer?.code ?: text

    private fun shownFor(logbook: LogbookInterface, answer: Answer) =
        if (answer.onRecord) HoseShown(answer, logbook.history(answer.code), logbook.photographs(answer.code))
        else HoseShown(answer, emptyList(), emptyList())
}
