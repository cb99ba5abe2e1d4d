package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import org.hosewright.companion.HoseFormScreen
import org.hosewright.companion.Screen
import org.hosewright.core.Described
import org.hosewright.core.FieldEntry
import org.hosewright.core.FieldShown
import org.hosewright.core.HoseSubject

/**
 * Registering a hose, with the tag that is on it ([TAG]) or one that is drawn;
 * or putting right what is written down about one (CODE). Each field is kept at once.
 */
class HoseFormActivity : Page() {
    private val screen by lazy { HoseFormScreen(desk, subject(), ::finished) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    private fun subject(): HoseSubject =
        intent.getStringExtra(CODE)?.let { HoseSubject.OnRecord(it) } ?: HoseSubject.New(intent.getStringExtra(TAG))

    /** The field for which a tag or a barcode is scanned just now. */
    private var scanned: String? = null

    override fun onCreate(state: Bundle?) {
        scanned = state?.getString(ASKED)
        super.onCreate(state)
        if (intent.hasExtra(CODE)) setTitle(R.string.describe)
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putString(ASKED, scanned)
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
        if (title != form.title) title = form.title
        form.tag?.let { on.words(it) }
        form.lead.forEach { on.words(it) }
        form.fields.forEach { field(on, it) }
        // What is refused of a field stands under it.
        if (form.fields.none { it.name == screen.refused }) trouble(on, screen)
        if (screen.trouble == null) form.missing?.let { on.quiet(it) }
        on.next("write", getString(R.string.write_it_down)) {
            window.currentFocus?.clearFocus()
            screen.finish()
        }
        on.button("anew", getString(R.string.begin_anew)) {
            forgetTyped()
            screen.drop()
        }
    }

    private fun field(on: Sheet, field: FieldShown) {
        when (field.entry) {
            FieldEntry.CHOICE -> on.card {
                heading(field.label)
                for (choice in field.choices) {
                    choice("${field.name}-${choice.value}", choice.words, choice.chosen) {
                        screen.fill(field.name, choice.value)
                    }
                }
            }
            FieldEntry.YES_NO -> {
                val yes = field.value.isNotEmpty()
                on.choice(field.name, field.label, yes) { screen.tick(field.name, !yes) }
            }
            FieldEntry.TEXT, FieldEntry.TAG, FieldEntry.BARCODE -> text(on, field)
        }
        if (screen.refused == field.name) trouble(on, screen) else field.wrong?.let { on.wrong(it) }
    }

    private fun text(on: Sheet, field: FieldShown) {
        on.field(field.name, field.label, field.value) { typed ->
            if (typed.trim() != screen.shown?.fields?.find { it.name == field.name }?.value) screen.fill(field.name, typed)
        }
        field.hint?.let { on.quiet(it) }
        if (field.entry == FieldEntry.TEXT) return
        on.button("scan-${field.name}", getString(R.string.scan)) {
            scanned = field.name
            startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(READ, true), SCANNED)
        }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val text = data?.getStringExtra(CODE)
        val field = scanned
        if (request != SCANNED || result != RESULT_OK || text == null || field == null) return
        // What was typed before was handed on when this page was left.
        forgetTyped()
        screen.fill(field, text)
    }

    private fun finished(hose: Described) {
        val shown = Intent(this, HoseActivity::class.java).putExtra(CODE, hose.answer.code).putExtra(HoseActivity.SAID, hose.words)
        startActivity(shown.addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
        finish()
    }

    companion object {
        /** The tag that is on a hose which is not on record. */
        const val TAG = "tag"
        private const val ASKED = "asked"
        private const val SCANNED = 1
    }
}
