package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.HistoryLine
import org.hosewright.core.LogbookInterface
import org.hosewright.core.Moment
import org.hosewright.core.Photograph
import org.hosewright.core.PictureFormat
import org.hosewright.core.TagPicture

/** An answer with what happened to the hose, and photographs of what was found on it. */
data class HoseShown(val answer: Answer, val history: List<HistoryLine>, val photographs: List<Photograph>)

/** One hose: its answer, and care that takes a single touch. */
class HoseScreen(desk: Desk, private val text: String) : Screen<HoseShown>(desk) {
    /** The tag as a picture, once it was asked for. */
    var picture: TagPicture? = null
        private set

    /** Asks for the answer, when the screen is looked at. */
    fun load() = ask({ logbook, moment -> shownFor(logbook, logbook.answer(text, moment)) }, then = ::show)

    /** New O-rings at an end, `a` or `b`. */
    fun reseal(end: String) = write { logbook, moment -> logbook.reseal(code(), end, moment) }

    /** It was soaked, cleaned and dried. */
    fun clean() = write { logbook, moment -> logbook.clean(code(), moment) }

    /** It is out of service for good. */
    fun retire(why: String) = write { logbook, moment -> logbook.retire(code(), why, moment) }

    /** A maker's own barcode leads to it from now on, as its tag does. */
    fun bind(barcode: String) = write { logbook, moment -> logbook.bindBarcode(code(), barcode, moment) }

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

    private fun write(work: (LogbookInterface, Moment) -> Answer) =
        ask({ logbook, moment -> shownFor(logbook, work(logbook, moment)) }, then = ::show)

    private fun show(hose: HoseShown) {
        shown = hose
    }

    private fun shownFor(logbook: LogbookInterface, answer: Answer) =
        if (answer.onRecord) HoseShown(answer, logbook.history(answer.code), logbook.photographs(answer.code))
        else HoseShown(answer, emptyList(), emptyList())
}
