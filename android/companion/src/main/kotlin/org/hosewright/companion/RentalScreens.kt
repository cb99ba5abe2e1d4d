package org.hosewright.companion

import org.hosewright.core.HandOut
import org.hosewright.core.HandedOut

/** Handing a set out: every hose is scanned, in any order. */
class HandOutScreen(desk: Desk, private val set: String) : Screen<HandOut>(desk) {
    /** What is said once the set is out. */
    var done: HandedOut? = null
        private set

    /** Asks how the hand-out stands. */
    fun load() = ask({ logbook, moment -> logbook.handOut(set, moment) }, then = ::show)

    /** A hose was scanned, or its code typed. */
    fun scan(text: String) =
        ask({ logbook, moment -> logbook.handOutScan(set, text, moment) }, then = ::show)

    /** Something was scanned by mistake. */
    fun unscan(text: String) =
        ask({ logbook, moment -> logbook.handOutUnscan(set, text, moment) }, then = ::show)

    /** Begins the scanning again. */
    fun anew() =
        ask({ logbook, moment ->
            logbook.handOutAnew(set)
            logbook.handOut(set, moment)
        }, then = ::show)

    /** Hands it out; a reason lifts what can be lifted. */
    fun finish(ticket: String, overrideWhy: String? = null) =
        ask({ logbook, moment -> logbook.handOutFinish(set, ticket, overrideWhy, moment) }) { done = it }

    private fun show(check: HandOut) {
        shown = check
    }
}
