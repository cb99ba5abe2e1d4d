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

/** Taking a set back: the dives, where each hose is, and a quick look at it. */
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

    /** The dives that were made with each hose; nothing where nobody knows. */
    fun dives(count: UInt?) = fill(dives = count)

    /** A hose was scanned: it is here. */
    fun scan(text: String) =
        ask({ logbook, moment -> logbook.takeBackScan(set, text, moment) }, then = ::show)

    /** A hose is here, as somebody says who read its code. */
    fun here(hose: String) =
        fill(here = shown?.here.orEmpty() - hose + hose, missing = shown?.missing.orEmpty() - hose)

    /** A hose did not come back. */
    fun missing(hose: String) =
        fill(here = shown?.here.orEmpty() - hose, missing = shown?.missing.orEmpty() - hose + hose)

    /** Something was seen on a hose, or taken back where it was seen already. */
    fun toggle(hose: String, seen: String) {
        val there = SeenOn(hose, seen)
        val before = shown?.seen.orEmpty()
        fill(seen = if (there in before) before - there else before + there)
    }

    /** Takes it back. */
    fun finish() = ask({ logbook, moment -> logbook.takeBackFinish(set, moment) }) { done = it }

    private fun fill(
        dives: UInt? = shown?.dives,
        here: List<String> = shown?.here.orEmpty(),
        missing: List<String> = shown?.missing.orEmpty(),
        seen: List<SeenOn> = shown?.seen.orEmpty(),
    ) = ask({ logbook, moment -> logbook.takeBackFill(set, dives, here, missing, seen, moment) }, then = ::show)

    private fun show(form: ReturnForm) {
        shown = form
    }
}
