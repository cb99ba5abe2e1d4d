package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import org.hosewright.companion.FormScreen
import org.hosewright.companion.Screen
import org.hosewright.core.FieldKind
import org.hosewright.core.FieldShown
import org.hosewright.core.FormOf
import org.hosewright.core.FormSaved
import org.hosewright.core.FormShown
import org.hosewright.core.GroupShown
import org.hosewright.core.Inspection

/**
 * Any form of the core's: to take a set back ([SET]), to inspect a hose ([KIND]), to edit its
 * details ([CODE]), or to register one with the tag that is on it ([TAG]). Each field is kept at once.
 */
class FormActivity : Page() {
    private val screen by lazy { FormScreen(desk, of(), ::saved) }

    override val screens: List<Screen<*>> get() = listOf(screen)

    private fun of(): FormOf {
        val (set, code) = intent.getStringExtra(SET) to intent.getStringExtra(CODE)
        val kind = intent.getStringExtra(KIND)
        return when {
            set != null -> FormOf.TakeBack(set)
            code != null && kind != null -> FormOf.Inspect(code, Inspection.valueOf(kind))
            code != null -> FormOf.Describe(code)
            else -> FormOf.Register(intent.getStringExtra(TAG))
        }
    }

    /** The field for which a tag or a barcode is scanned just now. */
    private var scanned: String? = null

    /** The fields that are unfolded, by what their group is called. */
    private val unfolded = mutableSetOf<String>()

    override fun onCreate(state: Bundle?) {
        scanned = state?.getString(ASKED)
        state?.getStringArrayList(UNFOLDED)?.let { unfolded.addAll(it) }
        super.onCreate(state)
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putString(ASKED, scanned)
        state.putStringArrayList(UNFOLDED, ArrayList(unfolded))
    }

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun build(on: Sheet) {
        val (done, form) = screen.done to screen.shown
        when {
            done != null -> done(on, done)
            form != null -> form(on, form)
            else -> trouble(on, screen)
        }
    }

    private fun done(on: Sheet, done: FormSaved) {
        on.heading(done.words)
        done.notes.forEach { on.words(it) }
        done.hoses.forEach { on.signed(it.code, it.verdict, HoseActivity.word(it.verdict), it.inWords(), it.todo) }
        on.next("finished", getString(R.string.finished)) { finish() }
    }

    private fun form(on: Sheet, form: FormShown) {
        if (title != form.title) title = form.title
        form.code?.let { on.heading(it) }
        form.hose?.let { on.words(it) }
        form.lead.forEach { on.words(it) }
        for (group in form.groups) if (group.title.isEmpty()) group(on, group) else on.card { group(this, group) }
        // What is refused of a field is under it.
        if (form.groups.none { group -> (group.fields + shown(group)).any { it.name == screen.refused } }) trouble(on, screen)
        if (screen.trouble == null) form.problem?.let { on.quiet(it) }
        on.next("submit", form.submit) {
            window.currentFocus?.clearFocus()
            screen.submit()
        }
        on.button("anew", getString(R.string.begin_anew)) {
            forgetTyped()
            screen.drop()
        }
        on.quiet(form.caution)
    }

    private fun group(on: Sheet, group: GroupShown) {
        if (group.title.isNotEmpty()) on.heading(group.title)
        group.notes.forEach { on.quiet(it) }
        group.fields.forEach { field(on, it, group.title) }
        val fold = group.fold ?: return
        shown(group).forEach { field(on, it, group.title) }
        if (group.title in unfolded) return
        on.button("more-${group.title}", fold.title) {
            unfolded.add(group.title)
            show()
        }
    }

    /** The folded fields of a group that are shown. */
    private fun shown(group: GroupShown): List<FieldShown> =
        group.fold?.fields?.filter { field ->
            group.title in unfolded || field.value.isNotEmpty()
        }.orEmpty()

    private fun field(on: Sheet, field: FieldShown, under: String) {
        when (field.kind) {
            FieldKind.CHOICE, FieldKind.MANY -> choices(on, field, under)
            FieldKind.TICK -> on.choice(field.name, field.label, field.value.isNotEmpty()) { screen.touch(field.name) }
            FieldKind.SCANS -> on.button("scan", field.label) { scan(field, FIND) }
            else -> text(on, field)
        }
        if (screen.refused == field.name) trouble(on, screen) else field.wrong?.let { on.wrong(it) }
    }

    private fun choices(on: Sheet, field: FieldShown, under: String) {
        if (field.label != under) on.heading(field.label)
        for (choice in field.choices) {
            on.choice("${field.name}-${choice.value}", choice.label, choice.chosen) { screen.touch(field.name, choice.value) }
        }
    }

    private fun text(on: Sheet, field: FieldShown) {
        on.field(field.name, field.label, field.value, field.kind == FieldKind.NUMBER) { typed ->
            if (typed.trim() != value(field.name)) screen.touch(field.name, typed)
        }
        field.hint?.let { on.quiet(it) }
        if (field.kind == FieldKind.SCAN) on.button("scan-${field.name}", getString(R.string.scan)) { scan(field, READ) }
    }

    /** What is in a field now. */
    private fun value(name: String): String? =
        screen.shown?.groups?.flatMap { it.fields + it.fold?.fields.orEmpty() }?.find { it.name == name }?.value

    private fun scan(field: FieldShown, how: String) {
        scanned = field.name
        startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(how, true), SCANNED)
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val text = data?.getStringExtra(CODE)
        val field = scanned
        if (request != SCANNED || result != RESULT_OK || text == null || field == null) return
        // What was typed before was handed on when this page was left.
        forgetTyped()
        screen.touch(field, text)
    }

    private fun saved(saved: FormSaved) {
        val hose = saved.answer ?: return
        val shown = Intent(this, HoseActivity::class.java).putExtra(CODE, hose.code).putExtra(HoseActivity.SAID, saved.words)
        startActivity(shown.addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
        finish()
    }

    companion object {
        /** The tag that is on a hose which is not on record. */
        const val TAG = "tag"
        private const val ASKED = "asked"
        private const val UNFOLDED = "unfolded"
        private const val SCANNED = 1
    }
}
