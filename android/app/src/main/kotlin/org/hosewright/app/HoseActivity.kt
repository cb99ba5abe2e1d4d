package org.hosewright.app

import android.content.Intent
import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.os.Bundle
import java.io.File
import java.io.IOException
import java.util.WeakHashMap
import org.hosewright.companion.HoseScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.Trouble
import org.hosewright.core.Answer
import org.hosewright.core.Inspection
import org.hosewright.core.NextStep
import org.hosewright.core.Obstacle
import org.hosewright.core.Photograph
import org.hosewright.core.PictureFormat
import org.hosewright.core.Sign
import org.hosewright.core.Verdict
import org.hosewright.core.verdictSigns

/** The answer for one hose. */
class HoseActivity : Page() {
    private val screen by lazy { HoseScreen(desk, intent.getStringExtra(CODE).orEmpty()) }
    private val voice by lazy { Voice(this) }
    private var told = false
    private var sharing = false

    /** Each is unpacked once, and not whenever the page is built. */
    private val unpacked = WeakHashMap<Photograph, Bitmap>()

    override val screens: List<Screen<*>> get() = listOf(screen)

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        told = state != null || !intent.getBooleanExtra(SPEAK, false)
        // The engine takes a moment to begin; it does while the record is asked.
        voice
    }

    override fun onResume() {
        super.onResume()
        screen.load()
    }

    override fun onDestroy() {
        voice.close()
        super.onDestroy()
    }

    override fun build(on: Sheet) {
        val hose = screen.shown
        if (hose == null) {
            trouble(on, screen)
            if (screen.asking > 0) on.quiet(getString(R.string.asking))
            else on.next("scan", getString(R.string.scan), ::scan)
            return
        }
        val answer = hose.answer
        if (!told) {
            told = true
            voice.tell(answer)
        }
        share()
        intent.getStringExtra(SAID)?.let { on.said(it) }
        on.verdict(answer.verdict, answer.word, answer.meaning, answer.code, answer.hose)
        // A hose's answer is not its regulator's.
        answer.setLine?.let { on.words(it) }
        trouble(on, screen)
        answer.reasons.forEachIndexed { at, reason ->
            on.signed("reason-$at", reason.verdict, word(reason.verdict), reason.words, reason.todo)
        }
        val next = answer.next
        if (next is NextStep.AtTheCounter) on.words(next.words) else on.next("next", next.words()) { go(next, answer) }
        on.line(R.string.age, answer.age)
        on.lines(R.string.looked_over, answer.inspections)
        on.line(R.string.dives, answer.dives)
        on.lines(R.string.due_line, answer.due)
        on.line(R.string.where, answer.place)
        on.line(R.string.record, answer.record)
        on.quiet(answer.caution)
        on.buttons(ways(answer))
        if (hose.photographs.isNotEmpty()) on.heading(getString(R.string.photos))
        for (photograph in hose.photographs) {
            on.photograph(unpacked(photograph), "${photograph.on}, ${photograph.by}", photograph.words)
        }
        if (hose.history.isNotEmpty()) on.heading(getString(R.string.history))
        for (line in hose.history) on.entry("${line.on}, ${line.by}", line.words)
    }

    private fun unpacked(photograph: Photograph): Bitmap? =
        unpacked[photograph] ?: BitmapFactory.decodeByteArray(photograph.jpeg, 0, photograph.jpeg.size)?.also { unpacked[photograph] = it }

    /** What else can be done with it. */
    private fun ways(answer: Answer): List<Triple<String, String, () -> Unit>> {
        val say = Triple("say", getString(R.string.say_it)) { voice.tell(answer) }
        if (!answer.onRecord) {
            return listOf(Triple("register", getString(R.string.register_it)) { describe(FormActivity.TAG) }, say)
        }
        return listOfNotNull(
            Triple("quick", getString(R.string.quick_look)) { inspect(answer.code, Inspection.QUICK) },
            Triple("full", getString(R.string.full_inspection)) { inspect(answer.code, Inspection.FULL) },
            Triple("leak", getString(R.string.leak_test)) { inspect(answer.code, Inspection.LEAK_TEST) },
            answer.set?.let { set ->
                Triple("set", getString(R.string.set_named, set)) { startActivity(Intent(this, SetActivity::class.java).putExtra(SET, set)) }
            },
            Triple("chip", getString(R.string.write_chip)) {
                startActivity(Intent(this, ChipActivity::class.java).putExtra(CODE, answer.code))
            },
            Triple("tag", getString(R.string.share_tag)) {
                sharing = true
                screen.drawTag(PictureFormat.PNG)
            },
            Triple("describe", getString(R.string.describe)) { describe(CODE) },
            Triple("bind", getString(R.string.bind_barcode)) {
                startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(READ, true), BARCODE)
            },
            say,
        )
    }

    private fun share() {
        val picture = screen.picture
        if (!sharing || picture == null) return
        sharing = false
        val file = File(SharedFiles.folder(this), "${picture.code}.png")
        try {
            file.writeBytes(picture.bytes)
        } catch (full: IOException) {
            return screen.failed(Trouble.of(Obstacle.STORAGE_FULL, full.message))
        }
        SharedFiles.share(this, file)
    }

    private fun NextStep.words(): String =
        when (this) {
            is NextStep.ContinueSwap -> words
            is NextStep.Scan -> words
            is NextStep.Reseal -> words
            is NextStep.Inspect -> words
            is NextStep.Clean -> words
            is NextStep.Swap -> words
            is NextStep.Retire -> words
            is NextStep.ImportRecord -> words
            is NextStep.Describe -> words
            is NextStep.AtTheCounter -> words
        }

    private fun go(next: NextStep, answer: Answer) {
        when (next) {
            is NextStep.ContinueSwap -> swap(next.old, next.new)
            is NextStep.Scan -> scan()
            is NextStep.Reseal -> screen.reseal(next.end)
            is NextStep.Inspect -> inspect(answer.code, next.kind)
            is NextStep.Clean -> screen.clean()
            is NextStep.Swap ->
                startActivityForResult(Intent(this, ScanActivity::class.java).putExtra(FIND, true), NEW_HOSE)
            is NextStep.Retire -> Ask(this).text(R.string.why) { screen.retire(it) }
            is NextStep.ImportRecord -> startActivity(Intent(this, MeetingActivity::class.java))
            is NextStep.Describe -> describe(if (answer.onRecord) CODE else FormActivity.TAG)
            is NextStep.AtTheCounter -> Unit
        }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        val new = data?.getStringExtra(CODE)
        if (request == BARCODE && result == RESULT_OK && new != null) screen.bind(new)
        val old = intent.getStringExtra(CODE)
        if (request == NEW_HOSE && result == RESULT_OK && new != null && old != null) swap(old, new)
    }

    private fun scan() {
        val back = Intent.FLAG_ACTIVITY_CLEAR_TOP or Intent.FLAG_ACTIVITY_SINGLE_TOP
        startActivity(Intent(this, ScanActivity::class.java).addFlags(back))
    }

    /** The form of this hose: by its tag where it is on no record here, else by its code. */
    private fun describe(by: String) =
        startActivity(Intent(this, FormActivity::class.java).putExtra(by, intent.getStringExtra(CODE)))

    private fun swap(old: String, new: String) =
        startActivity(Intent(this, SwapActivity::class.java).putExtra(CODE, old).putExtra(OTHER, new))

    private fun inspect(code: String, kind: Inspection) =
        startActivity(Intent(this, FormActivity::class.java).putExtra(CODE, code).putExtra(KIND, kind.name))

    companion object {
        /** Whether the verdict is told aloud when it comes. */
        const val SPEAK = "speak"

        /** What is said above the answer: what was done just now. */
        const val SAID = "said"
        private const val NEW_HOSE = 1
        private const val BARCODE = 2
        private val SIGNS: List<Sign> by lazy { verdictSigns() }

        /** The word of a verdict. */
        fun word(verdict: Verdict): String = SIGNS.first { it.verdict == verdict }.word
    }
}
