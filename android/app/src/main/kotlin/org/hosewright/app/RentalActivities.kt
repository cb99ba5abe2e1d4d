package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.HandOutScreen
import org.hosewright.companion.ReturnScreen
import org.hosewright.companion.Screen
import org.hosewright.core.HoseLine
import org.hosewright.core.InspectionForm
import org.hosewright.core.ReturnForm

/** Handing a set out. */
class HandOutActivity : Page() {
    private val screen by lazy { HandOutScreen(desk, intent.getStringExtra(SET).orEmpty()) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        val done = screen.done
        if (done != null) {
            on.heading(done.words)
            on.hoses(R.string.to_watch, done.watch)
            on.next("finished", getString(R.string.finished)) { finish() }
            return
        }
        val check = screen.shown
        if (check == null) {
            trouble(on, screen)
            return
        }
        on.heading(check.words)
        trouble(on, screen)
        val scan = { startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(FIND, true), SCANNED) }
        if (check.ready) on.button("scan", getString(R.string.scan), then = scan)
        else on.next("scan", getString(R.string.scan), scan)
        val ticket = on.field("ticket", R.string.ticket) {}
        if (check.ready) {
            on.next("out", getString(R.string.hand_out)) { screen.finish(ticket.text.toString()) }
        } else {
            check.stops.forEach { on.entry(it.words, it.todo) }
            check.lifting?.let { on.words(it) }
            if (check.canBeLifted) {
                on.button("lift", getString(R.string.reason_to_lift)) {
                    val typed = ticket.text.toString()
                    Ask(this).text(R.string.why) { screen.finish(typed, it) }
                }
            }
        }
        on.hoses(R.string.missing, check.missing)
        on.hoses(R.string.found, check.found)
        if (check.foreign.isNotEmpty()) on.heading(getString(R.string.foreign))
        for (foreign in check.foreign) {
            on.words("${foreign.code ?: foreign.scanned}: ${foreign.words}")
            on.button("unscan-${foreign.scanned}", getString(R.string.unscan, foreign.code ?: foreign.scanned)) {
                screen.unscan(foreign.scanned)
            }
        }
        on.hoses(R.string.on_hold, check.held)
        on.hoses(R.string.never_again, check.retired)
        on.hoses(R.string.to_watch, check.watch)
        on.button("anew", getString(R.string.begin_anew)) { screen.anew() }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val code = data?.getStringExtra(CODE)
        if (request == SCANNED && result == RESULT_OK && code != null) screen.scan(code)
    }

    private fun Sheet.hoses(name: Int, hoses: List<HoseLine>) {
        if (hoses.isEmpty()) return
        heading(getString(name))
        hoses.forEach { signed("$name-${it.code}", it.verdict, HoseActivity.word(it.verdict), it.inWords(), it.todo) }
    }

    private companion object {
        const val SCANNED = 1
    }
}

/** Taking a set back. */
class ReturnActivity : Page() {
    private val screen by lazy { ReturnScreen(desk, intent.getStringExtra(SET).orEmpty()) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        val done = screen.done
        if (done != null) {
            on.heading(done.words)
            done.differences.forEach { on.words(it) }
            (done.missing + done.hoses).forEach {
                on.signed(it.code, it.verdict, HoseActivity.word(it.verdict), it.inWords(), it.todo)
            }
            on.next("finished", getString(R.string.finished)) { finish() }
            return
        }
        val form = screen.shown
        if (form == null) {
            trouble(on, screen)
            return
        }
        on.heading(form.words)
        on.words(form.lead)
        on.field("dives", R.string.dives_each, form.dives?.toString().orEmpty(), number = true) { typed ->
            val dives = typed.toUIntOrNull()
            if (dives != screen.shown?.dives) screen.dives(dives)
        }
        on.words(form.unknownDives)
        on.button("scan", getString(R.string.scan)) {
            startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(FIND, true), SCANNED)
        }
        for (hose in form.hoses) {
            on.signed(hose.code, hose.verdict, HoseActivity.word(hose.verdict), hose.inWords(), hose.todo) { screen.look(hose.code) }
            on.choice("here-${hose.code}", getString(R.string.hose_here, hose.code), hose.code in form.here) { screen.here(hose.code) }
            on.choice("missing-${hose.code}", getString(R.string.hose_missing, hose.code), hose.code in form.missing) { screen.missing(hose.code) }
            screen.looking?.takeIf { it.code == hose.code }?.let { at -> on.card { look(this, at, form) { screen.toggle(hose.code, it) } } }
        }
        for (there in form.seen) {
            on.choice("seen-${there.hose}-${there.seen}", "${there.hose}: ${there.seen}", true) {
                screen.toggle(there.hose, there.seen)
            }
        }
        trouble(on, screen)
        on.next("back", getString(R.string.take_back)) {
            window.currentFocus?.clearFocus()
            screen.finish()
        }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val code = data?.getStringExtra(CODE)
        if (request == SCANNED && result == RESULT_OK && code != null) screen.scan(code)
    }

    private companion object {
        const val SCANNED = 1
    }
}

/** What can be seen on a hose, under it. */
private fun Page.look(on: Sheet, hose: InspectionForm, form: ReturnForm, toggle: (String) -> Unit) {
    val seen = form.seen.filter { it.hose == hose.code }.map { it.seen }
    for (checkpoint in hose.checkpoints) {
        on.words(checkpoint.todo)
        for (choice in checkpoint.choices) {
            val chosen = seen.find { if (choice.counted) it.startsWith(choice.seen) else it == choice.seen }
            on.choice("${hose.code}-${choice.seen}", choice.words, chosen != null) {
                when {
                    chosen != null -> toggle(chosen)
                    choice.counted ->
                        Ask(this).text(R.string.how_many, number = true) { typed ->
                            typed.toUIntOrNull()?.let { toggle("${choice.seen}$it") }
                        }
                    else -> toggle(choice.seen)
                }
            }
        }
    }
}

/** A hose of a list: where, which, and why it is what it is. */
internal fun HoseLine.inWords(): String {
    val place = port?.let { "$it: " }.orEmpty()
    return listOf("$place$words, $code.", why).filter { it.isNotEmpty() }.joinToString(" ")
}
