package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import org.hosewright.companion.Screen
import org.hosewright.companion.SwapScreen
import org.hosewright.core.NextQuestion
import org.hosewright.core.StepAsks

/** The guided swap; it can be left at any step, and is taken up where it was. */
class SwapActivity : Page() {
    /** The port that was chosen before this page was started again. */
    private var port: String? = null

    /** Whether it is finished: the record then knows of no swap any more. */
    private var over = false

    private val screen by lazy {
        SwapScreen(desk, intent.getStringExtra(CODE).orEmpty(), intent.getStringExtra(OTHER).orEmpty(), port)
    }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onCreate(state: Bundle?) {
        port = state?.getString(PORT)
        over = state?.getBoolean(OVER) ?: false
        super.onCreate(state)
        if (over) show()
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putString(PORT, screen.port)
        state.putBoolean(OVER, over)
    }

    override fun onResume() {
        super.onResume()
        if (screen.asking == 0 && !over) screen.load()
    }

    override fun build(on: Sheet) {
        if (screen.givenUp != null) return finish()
        val swap = screen.shown
        if (over && swap == null) return finished(on)
        if (swap == null) {
            trouble(on, screen)
            return
        }
        on.words("${swap.old} → ${swap.new}, ${swap.place}")
        swap.said?.let { on.said(it) }
        trouble(on, screen)
        val next = swap.next
        if (next == null) {
            over = true
            return finished(on)
        }
        on.quiet(getString(R.string.step_of, next.number.toInt(), swap.steps.size))
        on.heading(next.todo)
        question(on, next)
        if (swap.otherPorts.isNotEmpty()) {
            on.button("port", getString(R.string.other_port)) {
                Ask(this).one(R.string.other_port, swap.otherPorts) { screen.into(it) }
            }
        }
        swap.cautions.forEach { on.quiet(it) }
        for (step in swap.steps) {
            val answer = step.answer ?: getString(R.string.step_open)
            on.entry(step.todo, answer)
        }
        on.button("give-up", getString(R.string.give_up)) { Ask(this).text(R.string.why) { screen.giveUp(it) } }
    }

    private fun finished(on: Sheet) {
        val new = intent.getStringExtra(OTHER).orEmpty()
        on.heading(getString(R.string.finished))
        on.next("answer", new) {
            startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, new))
            finish()
        }
    }

    private fun question(on: Sheet, next: NextQuestion) {
        if (next.asks == StepAsks.SCAN) {
            on.next("scan", getString(R.string.scan)) {
                startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(FIND, true), SCANNED)
            }
        }
        next.buttons.forEachIndexed { at, button ->
            val then = {
                val asked = if (next.name == "leak-test") R.string.pressure else R.string.why
                if (button.needsText) Ask(this).text(asked) { screen.answer("${button.answer} $it") }
                else screen.answer(button.answer)
            }
            // The first is the usual one.
            if (at == 0) on.next("answer-${next.name}", button.words, then)
            else on.button("answer-${next.name}-$at", button.words, then = then)
        }
        if (next.asks == StepAsks.BUTTON_OR_TEXT) {
            on.quiet(next.answers)
            on.button("other", getString(R.string.other_answer)) {
                Ask(this).text(R.string.other_answer) { screen.answer(it) }
            }
        }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val code = data?.getStringExtra(CODE)
        if (request != SCANNED || result != RESULT_OK || code == null) return
        // The phone may have been started again meanwhile: the step is asked first.
        if (screen.shown == null) {
            screen.onChange = {
                if (screen.shown != null) {
                    screen.onChange = ::show
                    screen.answer(code)
                }
            }
            screen.load()
        } else {
            screen.answer(code)
        }
    }

    private companion object {
        const val SCANNED = 1
        const val PORT = "port"
        const val OVER = "over"
    }
}
