package org.hosewright.app

import android.content.Intent
import org.hosewright.companion.HandOutScreen
import org.hosewright.companion.Screen
import org.hosewright.core.HoseLine

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

/** A hose of a list: where, which, and why it is what it is. */
internal fun HoseLine.inWords(): String {
    val place = port?.let { "$it: " }.orEmpty()
    return listOf("$place$words, $code.", why).filter { it.isNotEmpty() }.joinToString(" ")
}
