package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import org.hosewright.companion.FormScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FieldKind
import org.hosewright.core.FieldShown
import org.hosewright.core.FormSaved
import org.hosewright.core.FormShown
import org.hosewright.core.GroupShown
import org.hosewright.core.HoseList

/** Any form of the core's; each field is kept at once. */
class FormActivity : Page() {
    private val screen by lazy { FormScreen(desk, intent.form(), ::saved) }

    override val screens: List<Screen<*>> get() = listOf(screen)

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
        lists(on, done.lists)
        on.next("finished", say.finished) { finish() }
    }

    private fun lists(on: Sheet, lists: List<HoseList>) {
        for (list in lists) {
            on.heading(list.title)
            list.hoses.forEach { on.signed("${list.title}-${it.code}", it.verdict, HoseActivity.word(it.verdict), it.inWords(), it.todo) }
        }
    }

    private fun form(on: Sheet, form: FormShown) {
        if (title != form.title) title = form.title
        form.code?.let { on.heading(it) }
        form.hose?.let { on.words(it) }
        screen.said?.let { on.said(it) }
        form.lead.forEach { on.words(it) }
        for (group in form.groups) if (group.title.isEmpty()) group(on, group) else on.card { group(this, group) }
        // What is refused of a field is under it.
        if (form.groups.none { group -> (group.fields + shown(group)).any { it.name == screen.refused } }) trouble(on, screen)
        if (screen.trouble == null) form.problem?.let { on.quiet(it) }
        if (form.submit.isNotEmpty() && form.answers.isEmpty()) on.next("submit", form.submit) { submit() }
        form.answers.forEachIndexed { at, answer ->
            // The first is the usual one.
            if (at == 0) on.next("answer-${answer.value}", answer.label) { submit(answer.value) }
            else on.button("answer-${answer.value}", answer.label) { submit(answer.value) }
        }
        form.lines.forEach { on.entry(it.name, it.words) }
        lists(on, form.lists)
        form.other?.let { other -> on.button("other", other.words) { follow(other) } }
        if (form.begun) {
            on.button("anew", say.startAgain) {
                forgetTyped()
                screen.drop()
            }
        }
        form.cautions.forEach { on.quiet(it) }
    }

    private fun submit(answer: String? = null) {
        window.currentFocus?.clearFocus()
        forgetTyped()
        screen.submit(answer)
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
            FieldKind.SCANS -> on.button("scan", field.label, main = true) { scan(field, FIND) }
            FieldKind.SCAN_TO_ANSWER -> on.next("scan", field.label) { scan(field, READ) }
            else -> text(on, field)
        }
        if (screen.refused == field.name) trouble(on, screen) else field.wrong?.let { on.wrong(it) }
    }

    private fun choices(on: Sheet, field: FieldShown, under: String) {
        if (field.label != under) on.heading(field.label)
        field.hint?.let { on.quiet(it) }
        for (choice in field.choices) {
            on.choice("${field.name}-${choice.value}", choice.label, choice.chosen, field.kind == FieldKind.CHOICE, choice.verdict) {
                screen.touch(field.name, choice.value)
            }
        }
    }

    private fun text(on: Sheet, field: FieldShown) {
        on.field(field.name, field.label, field.value, field.kind == FieldKind.NUMBER) { typed ->
            if (typed.trim() != now(field.name)?.value) screen.touch(field.name, typed)
        }
        field.hint?.let { on.quiet(it) }
        if (field.kind == FieldKind.SCAN) on.button("scan-${field.name}", say.scan) { scan(field, READ) }
    }

    /** A field as it is now. */
    private fun now(name: String): FieldShown? =
        screen.shown?.groups?.flatMap { it.fields + it.fold?.fields.orEmpty() }?.find { it.name == name }

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
        asked(field) { if (it?.kind == FieldKind.SCAN_TO_ANSWER) screen.submit(it.value + text) else screen.touch(field, text) }
    }

    /** The phone may have been started again meanwhile: the form is asked first. */
    private fun asked(field: String, then: (FieldShown?) -> Unit) {
        if (screen.shown != null) return then(now(field))
        screen.onChange = {
            if (screen.shown != null) {
                screen.onChange = ::show
                then(now(field))
            }
        }
        screen.load()
    }

    private fun saved(saved: FormSaved) {
        val hose = saved.answer ?: return
        val shown = Intent(this, HoseActivity::class.java).putExtra(CODE, hose.code).putExtra(HoseActivity.SAID, saved.words)
        startActivity(shown.addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
        finish()
    }

    private companion object {
        const val ASKED = "asked"
        const val UNFOLDED = "unfolded"
        const val SCANNED = 1
    }
}
