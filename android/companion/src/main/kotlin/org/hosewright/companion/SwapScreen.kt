package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.SwapShown

/** A guided swap. Each answer is on record before the next step is shown. */
class SwapScreen(
    desk: Desk,
    private val old: String,
    private val new: String,
    port: String? = null,
) : Screen<SwapShown>(desk) {
    /** The port that was chosen for the new hose; none for that of the old one. */
    var port: String? = port
        private set

    /** The old hose's answer, where the swap was given up. */
    var givenUp: Answer? = null
        private set

    /** Whether every step is answered. */
    val finished: Boolean
        get() = shown.let { it != null && it.next == null }

    /** Asks where the swap stands. */
    fun load() {
        val port = port
        ask({ logbook, moment -> logbook.swap(old, new, port, moment) }, then = ::show)
    }

    /** Chooses one of the other ports, before the swap is begun; it counts once it is shown. */
    fun into(other: String) =
        ask({ logbook, moment -> logbook.swap(old, new, other, moment) }) {
            port = other
            show(it)
        }

    /** Answers the step that is shown: a button's answer, a scanned tag, or what was typed. */
    fun answer(text: String) {
        val step = shown?.next?.name ?: return
        val port = port
        ask({ logbook, moment -> logbook.swapAnswer(old, new, port, step, text, moment) }, then = ::show)
    }

    /** Gives the swap up; what was done stays on record. */
    fun giveUp(why: String) =
        ask({ logbook, moment -> logbook.swapGiveUp(old, new, why, moment) }) { givenUp = it }

    private fun show(swap: SwapShown) {
        shown = swap
    }
}
