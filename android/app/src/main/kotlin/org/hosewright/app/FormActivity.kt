package org.hosewright.app

import android.Manifest
import android.content.ActivityNotFoundException
import android.content.Intent
import android.content.pm.PackageManager
import android.net.Uri
import android.os.Bundle
import android.widget.EditText
import java.io.File
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FieldKind
import org.hosewright.core.FieldShown
import org.hosewright.core.FileMade
import org.hosewright.core.FormSaved
import org.hosewright.core.FormShown
import org.hosewright.core.GroupShown
import org.hosewright.core.Follows
import org.hosewright.core.HoseList
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.PlaceAnswer
import org.hosewright.core.PlaceShown
import org.hosewright.core.Touch
import org.hosewright.core.Written

/** Any form of the core's; each field is kept at once. */
class FormActivity : OnePage() {
    override fun of() = PageOf.Form(intent.form())
    override val cancels get() = intent.form().cancels

    private val photos by lazy { Photos(this) }

    /** What was made is shared once by itself, and again by a touch. */
    private var shared = false

    /** The field for which a tag or a barcode is scanned, or a photo taken, just now. */
    private var scanned: String? = null

    /** It was there before, and was turned or ended. */
    private var again = false

    /** The fields that are unfolded, by what their group is called. */
    private val unfolded = mutableSetOf<String>()

    override fun onCreate(state: Bundle?) {
        scanned = state?.getString(ASKED)
        shared = state?.getBoolean(SHARED) ?: false
        again = state != null
        state?.getStringArrayList(UNFOLDED)?.let { unfolded.addAll(it) }
        super.onCreate(state)
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putString(ASKED, scanned)
        state.putBoolean(SHARED, shared)
        state.putStringArrayList(UNFOLDED, ArrayList(unfolded))
    }

    override fun build(on: Sheet) {
        val (done, form) = screen.shown.done to screen.shown.form
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
        done.made?.let { made ->
            if (!shared) share(made)
            on.button("share", say.shareFile) { share(made) }
        }
        on.next("finished", say.finished) { finish() }
    }

    private fun share(made: FileMade) {
        shared = true
        share(screen) { File(SharedFiles.folder(this), made.file).apply { writeBytes(made.bytes) } }
    }

    private fun lists(on: Sheet, lists: List<HoseList>) = lists.forEach { hoses(on, it) }

    private fun form(on: Sheet, form: FormShown) {
        if (title != form.title) title = form.title
        form.place?.let { return place(on, it) }
        form.code?.let { on.heading(it) }
        form.hose?.let { on.words(it) }
        if (screen.shown.said.isNotEmpty()) on.said(screen.shown.said.joinToString("\n"))
        form.lead.forEach { on.words(it) }
        for (place in form.places) {
            on.way("place-${place.place}", place.name, place.words) { screen.touch(Touch.ToPlace(place.place)) }
        }
        for (group in form.groups.filter { !it.ofPlace }) if (group.title.isEmpty()) group(on, group) else on.card { group(this, group) }
        // What is refused of a field is under it.
        if (form.groups.none { group -> (group.fields + shown(group)).any { it.name == refused } }) trouble(on, screen)
        if (screen.shown.trouble == null) form.problem?.let { on.quiet(it) }
        // What is under way is stopped where it was begun, and nothing else is touched until then.
        if (underWay(on, screen)) return
        if (form.submit.isNotEmpty() || form.answers.isNotEmpty()) form.named?.let { on.about(it) }
        if (form.submit.isNotEmpty() && form.answers.isEmpty()) on.next("submit", form.submit) { submit() }
        form.answers.forEachIndexed { at, answer ->
            // The first is the usual one.
            if (at == 0) on.next("answer-${answer.value}", answer.label) { submit(answer.value) }
            else on.button("answer-${answer.value}", answer.label) { submit(answer.value) }
        }
        form.lines.forEach { on.entry(it.name, it.words) }
        lists(on, form.lists)
        form.other?.let { other -> on.button("other", other.words) { follow(other) } }
        if (form.begun) anew(on)
        form.cautions.forEach { on.quiet(it) }
    }

    /** One place, with its answers within the thumb's reach. */
    private fun place(on: Sheet, place: PlaceShown) {
        on.quiet(listOfNotNull(place.words, screen.shown.form?.named).joinToString(". "))
        for (group in place.groups) group(on, group)
        if (place.groups.none { group -> group.fields.any { it.name == refused } }) trouble(on, screen)
        for (button in place.buttons) {
            val (key, words) = "place-${place.place}-${button.answer}" to button.words
            val then = { screen.touch(Touch.Place(place.place, button.answer)) }
            when {
                button.answer == PlaceAnswer.BEFORE -> on.button(key, words) { then() }
                button == place.buttons.first() -> on.next(key, words) { then() }
                else -> on.orNext(key, words) { then() }
            }
        }
        if (screen.shown.form?.begun == true) anew(on)
    }

    private fun anew(on: Sheet) = on.button("anew", say.startAgain) {
        forgetTyped()
        screen.touch(Touch.StartAgain)
    }

    private fun submit(answer: String? = null) {
        // What stands in the field that is typed into goes with the rest.
        val field = window.currentFocus as? EditText
        val typed = listOfNotNull(field?.let { Written(it.tag.toString(), it.text.toString()) })
        forgetTyped()
        screen.touch(Touch.Save(typed.filter { now(it.field)?.value?.let { known -> it.text.trim() != known } == true }, answer))
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
            FieldKind.TICK -> {
                on.choice(field.name, field.label, field.value.isNotEmpty()) { screen.touch(Touch.Tick(field.name, field.value.isEmpty())) }
                field.hint?.let { on.quiet(it) }
            }
            FieldKind.PHOTO -> photo(on, field)
            FieldKind.SCANS -> on.button("scan", field.label, main = true) { startActivity(ticks(intent.form())) }
            FieldKind.SCAN_TO_ANSWER -> on.next("scan", field.label) { scan(field, READ) }
            else -> text(on, field)
        }
        if (refused == field.name) trouble(on, screen) else field.wrong?.let { on.wrong(it) }
    }

    private fun choices(on: Sheet, field: FieldShown, under: String) {
        if (field.label != under) on.heading(field.label)
        field.hint?.let { on.quiet(it) }
        for (choice in field.choices) {
            on.choice("${field.name}-${choice.value}", choice.label, choice.chosen, field.kind == FieldKind.CHOICE, choice.verdict) {
                screen.touch(Touch.Choose(field.name, choice.value, field.kind == FieldKind.CHOICE || !choice.chosen))
            }
        }
    }

    /** A photo that is there, or the ways to one. */
    private fun photo(on: Sheet, field: FieldShown) {
        on.heading(field.label)
        val there = photos.at(field.value)
        if (there != null) {
            on.image(there, field.label)
            on.button("leave-${field.name}", say.leavePhoto) { screen.touch(Touch.Photograph(field.name, null)) }
            return
        }
        field.hint?.let { on.quiet(it) }
        val take = Triple("take-${field.name}", say.takePhoto) { asked(field) { take() } }
        val choose = Triple("choose-${field.name}", say.choosePhoto) { asked(field) { begin(Photos.choosing(), CHOSEN) } }
        on.buttons(listOfNotNull(take.takeIf { photos.canTake }, choose))
    }

    private fun asked(field: FieldShown, begin: () -> Unit) {
        scanned = field.name
        begin()
    }

    /** The camera's own app takes it; this app, which reads tags with the camera, has to be allowed it for that too. */
    private fun take() {
        if (checkSelfPermission(Manifest.permission.CAMERA) == PackageManager.PERMISSION_GRANTED) begin(photos.taking(), TAKEN)
        else requestPermissions(arrayOf(Manifest.permission.CAMERA), TAKEN)
    }

    private fun begin(intent: Intent, request: Int) {
        try {
            startActivityForResult(intent, request)
        } catch (none: ActivityNotFoundException) {
            screen.hindered(Obstacle.PHOTO_FAILED, none.message)
        } catch (refused: SecurityException) {
            screen.hindered(Obstacle.PHOTO_FAILED, refused.message)
        }
    }

    override fun onRequestPermissionsResult(request: Int, names: Array<String>, results: IntArray) {
        val given = results.firstOrNull() ?: return
        when {
            request == TAKEN && given == PackageManager.PERMISSION_GRANTED -> begin(photos.taking(), TAKEN)
            request == TAKEN -> screen.hindered(Obstacle.PHOTO_FAILED)
            request == REMINDED && given != PackageManager.PERMISSION_GRANTED -> screen.hindered(Obstacle.REMINDERS_REFUSED)
        }
    }

    /** A photo came of the camera, or of those that are on the phone. */
    private fun photographed(from: Uri?) {
        val field = scanned ?: return
        desk.beside({ photos.copy(from) }) { outcome ->
            if (isDestroyed) return@beside
            outcome.onSuccess { screen.touch(Touch.Photograph(field, it.path)) }
                .onFailure { screen.hindered(Obstacle.PHOTO_FAILED, it.message) }
        }
    }

    private fun text(on: Sheet, field: FieldShown) {
        on.field(field.name, field.label, field.value, field.kind == FieldKind.NUMBER) { typed ->
            if (typed.trim() != now(field.name)?.value) screen.touch(Touch.Write(field.name, typed))
        }
        field.hint?.let { on.quiet(it) }
        if (field.kind == FieldKind.SCAN) on.button("scan-${field.name}", say.scan) { scan(field, READ) }
    }

    /** A field as it is now. */
    private fun now(name: String): FieldShown? =
        screen.shown.form?.groups?.flatMap { it.fields + it.fold?.fields.orEmpty() }?.find { it.name == name }

    private fun scan(field: FieldShown, how: String) {
        scanned = field.name
        startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(how, true), SCANNED)
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        if (result == RESULT_OK && request == TAKEN) return photographed(null)
        if (result == RESULT_OK && request == CHOSEN) return photographed(data?.data ?: return)
        val text = data?.getStringExtra(CODE)
        val field = scanned
        if (request != SCANNED || result != RESULT_OK || text == null || field == null) return
        // What was typed before was handed on when this page was left.
        forgetTyped()
        screen.touch(Touch.Scanned(field, text))
    }

    override fun follows(screen: Screen, follows: Follows) {
        // Turned, or gone back to, the camera does not begin by itself a second time.
        if (follows is Follows.Ticks && again) return
        if (follows is Follows.AskToRemind) return Reminders.ask(this, REMINDED) { screen.hindered(Obstacle.REMINDERS_REFUSED) }
        if (follows !is Follows.Hose) return super.follows(screen, follows)
        val shown = Intent(this, HoseActivity::class.java).putExtra(CODE, follows.text).putExtra(HoseActivity.SAID, follows.said)
        startActivity(shown.addFlags(Intent.FLAG_ACTIVITY_CLEAR_TOP))
        finish()
    }

    /** The field that the last refusal names. */
    private val refused: String? get() = screen.shown.trouble?.field

    private companion object {
        const val ASKED = "asked"
        const val UNFOLDED = "unfolded"
        const val SHARED = "shared"
        const val SCANNED = 1
        const val TAKEN = 2
        const val CHOSEN = 3
        const val REMINDED = 4
    }
}
