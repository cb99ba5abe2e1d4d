package org.hosewright.companion

import org.hosewright.core.HandOut
import org.hosewright.core.HandedOut
import org.hosewright.core.Inspection
import org.hosewright.core.InspectionForm
import org.hosewright.core.ReturnForm
import org.hosewright.core.SeenOn
import org.hosewright.core.TakenBack

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

    /** Begins the scanning anew. */
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

/** Taking a set back: the dives, and a quick look at each hose. */
class ReturnScreen(desk: Desk, private val set: String) : Screen<ReturnForm>(desk) {
    /** What is said once the set is back. */
    var done: TakenBack? = null
        private set

    /** What can be seen on the hose that is looked at just now. */
    var looking: InspectionForm? = null
        private set

    /** A hose is looked at: asks what can be seen on it. */
    fun look(hose: String) =
        ask({ logbook, moment -> logbook.inspection(hose, Inspection.QUICK, moment) }) { looking = it }

    /** Asks how the return stands. */
    fun load() = ask({ logbook, moment -> logbook.takeBack(set, moment) }, then = ::show)

    /** The dives that were made with each hose. */
    fun dives(count: UInt) = fill(count, shown?.seen.orEmpty())

    /** Something was seen on a hose, or taken back where it was seen already. */
    fun toggle(hose: String, seen: String) {
        val there = SeenOn(hose, seen)
        val before = shown?.seen.orEmpty()
        fill(shown?.dives ?: 0u, if (there in before) before - there else before + there)
    }

    /** Takes it back. */
    fun finish() = ask({ logbook, moment -> logbook.takeBackFinish(set, moment) }) { done = it }

    private fun fill(dives: UInt, seen: List<SeenOn>) =
        ask({ logbook, moment -> logbook.takeBackFill(set, dives, seen, moment) }, then = ::show)

    private fun show(form: ReturnForm) {
        shown = form
    }
}
