package org.hosewright.app

import android.os.Bundle
import org.hosewright.companion.InspectionScreen
import org.hosewright.companion.Screen
import org.hosewright.core.CheckpointShown
import org.hosewright.core.FindingChoice
import org.hosewright.core.Inspection

/** Looking a hose over, checkpoint by checkpoint; each touch is kept at once. */
class InspectionActivity : Page() {
    private val kind by lazy { Inspection.valueOf(intent.getStringExtra(KIND) ?: Inspection.QUICK.name) }

    private val screen by lazy {
        InspectionScreen(desk, intent.getStringExtra(CODE).orEmpty(), kind) { finish() }
    }

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        setTitle(
            when (kind) {
                Inspection.QUICK -> R.string.quick_look
                Inspection.FULL -> R.string.full_inspection
                Inspection.LEAK_TEST -> R.string.leak_test
            },
        )
    }

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        val form = screen.shown
        if (form == null) {
            trouble(on, screen)
            return
        }
        on.heading(form.code)
        on.words(form.hose)
        on.lines(R.string.before, form.last)
        form.checkpoints.forEach { on.card { checkpoint(this, it) } }
        if (form.needsResult) {
            on.choice("passed", getString(R.string.nothing_leaked), form.filled.passed == true) { screen.result(true) }
            on.choice("failed", getString(R.string.it_leaked), form.filled.passed == false) { screen.result(false) }
            on.field("pressure", R.string.pressure, form.filled.pressure.orEmpty()) {
                if (it != screen.shown?.filled?.pressure.orEmpty()) screen.pressure(it)
            }
        }
        on.field("note", R.string.note, form.filled.note.orEmpty()) {
            if (it != screen.shown?.filled?.note.orEmpty()) screen.note(it)
        }
        trouble(on, screen)
        form.missing?.let { on.quiet(it) }
        on.next("write", getString(R.string.write_it_down)) {
            window.currentFocus?.clearFocus()
            screen.finish()
        }
        on.button("anew", getString(R.string.begin_anew)) {
            forgetTyped()
            screen.drop()
        }
        on.quiet(form.caution)
    }

    private fun checkpoint(on: Sheet, checkpoint: CheckpointShown) {
        on.heading(checkpoint.todo)
        on.quiet(getString(if (checkpoint.ticked) R.string.looked_at else R.string.not_looked_at))
        on.lines(R.string.before, checkpoint.before)
        val clear = checkpoint.ticked && checkpoint.found.isEmpty()
        on.choice("${checkpoint.name}-clear", getString(R.string.nothing_found), clear) {
            if (clear) screen.untick(checkpoint.name) else screen.nothingFound(checkpoint.name)
        }
        for (choice in checkpoint.choices) choice(on, checkpoint, choice)
    }

    private fun choice(on: Sheet, checkpoint: CheckpointShown, choice: FindingChoice) {
        if (!choice.counted) {
            on.choice(choice.seen, choice.words, choice.seen in checkpoint.found) { screen.toggle(checkpoint.name, choice) }
            return
        }
        val counted = checkpoint.found.find { it.startsWith(choice.seen) }?.removePrefix(choice.seen)
        val words = if (counted == null) choice.words else getString(R.string.port_of, choice.words, counted)
        on.choice(choice.seen, words, counted != null) {
            if (counted != null) {
                screen.counted(checkpoint.name, choice, null)
            } else {
                Ask(this).text(R.string.how_many, number = true) { typed ->
                    typed.toUIntOrNull()?.let { screen.counted(checkpoint.name, choice, it) }
                }
            }
        }
    }
}
