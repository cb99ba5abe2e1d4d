package org.hosewright.app

import android.content.Intent
import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.os.Bundle
import java.io.File
import java.util.WeakHashMap
import org.hosewright.companion.say
import org.hosewright.core.ActionShown
import org.hosewright.core.Answer
import org.hosewright.core.Goes
import org.hosewright.core.PageOf
import org.hosewright.core.Photograph
import org.hosewright.core.PictureFormat
import org.hosewright.core.Sign
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.hosewright.core.verdictSigns

/** The answer for one hose. */
class HoseActivity : OnePage() {
    private var told = false
    private var sharing = false

    /** Each is unpacked once, and not whenever the page is built. */
    private val unpacked = WeakHashMap<Photograph, Bitmap>()

    override fun of() = PageOf.Hose(intent.getStringExtra(CODE).orEmpty())
    override val name get() = say.answer

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        told = state != null || !intent.getBooleanExtra(SPEAK, false)
        // The engine takes a moment to begin; it does while the record is asked.
        app.voice
    }

    override fun onDestroy() {
        if (isFinishing) app.voice.stop()
        super.onDestroy()
    }

    override fun build(on: Sheet) {
        val hose = screen.shown.hose
        if (hose == null) {
            trouble(on, screen)
            if (screen.asking > 0) on.quiet(say.asking)
            else on.next("scan", say.scan, ::scan)
            return
        }
        val answer = hose.answer
        if (!told) {
            told = true
            app.voice.tell(answer, hose.aloud)
        }
        share()
        intent.getStringExtra(SAID)?.takeIf { it.isNotEmpty() }?.let { on.said(it) }
        on.verdict(answer.verdict, answer.word, listOf(answer.old, answer.looked), answer.meaning, listOf(answer.named, answer.hose))
        // A hose's answer is not its regulator's.
        answer.setLine?.let { on.words(it) }
        trouble(on, screen)
        answer.reasons.forEachIndexed { at, reason ->
            on.signed("reason-$at", reason.verdict, word(reason.verdict), reason.words, reason.todo)
        }
        val next = answer.next
        if (next.goes == Goes.AtTheCounter) on.words(next.words) else on.next("next", next.words) { go(next) }
        on.line(say.age, answer.age)
        on.lines(say.lookedOver, answer.inspections)
        on.line(say.dives, answer.dives)
        on.lines(say.due, answer.due)
        on.line(say.place, answer.place)
        on.line(say.record, answer.record)
        on.quiet(answer.caution)
        on.buttons(ways(answer))
        if (hose.photographs.isNotEmpty()) on.heading(say.photos)
        for (photograph in hose.photographs) {
            on.photograph(unpacked(photograph), "${photograph.on}, ${photograph.by}", photograph.words)
        }
        if (hose.history.isNotEmpty()) on.heading(say.history)
        for (line in hose.history) {
            val (name, withdraw) = "${line.on}, ${line.by}" to line.withdraw
            if (withdraw == null) on.entry(name, line.words)
            else on.way("line-${withdraw.goes}", name, "${line.words}\n${withdraw.words}") { go(withdraw) }
        }
    }

    private fun unpacked(photograph: Photograph): Bitmap? =
        unpacked[photograph] ?: BitmapFactory.decodeByteArray(photograph.jpeg, 0, photograph.jpeg.size)?.also { unpacked[photograph] = it }

    /** What else can be done with it. */
    private fun ways(answer: Answer): List<Triple<String, String, () -> Unit>> {
        val chip = Triple("chip", say.writeChip) {
            startActivity(Intent(this, ChipActivity::class.java).putExtra(CODE, answer.code))
        }
        val aloud = Triple("say", say.readAloud) { app.voice.tell(answer, aloud = true) }
        val all = answer.actions.map { Triple("do-${it.words}", it.words) { go(it) } }
        return all + listOfNotNull(chip.takeIf { answer.onRecord }, aloud)
    }

    private fun share() {
        val picture = screen.shown.tag
        if (!sharing || picture == null) return
        sharing = false
        // As it came: drawn anew it would lose the size that it prints at.
        share(screen) { File(SharedFiles.folder(this), picture.file).apply { writeBytes(picture.bytes) } }
    }

    private fun go(action: ActionShown) {
        when (val goes = action.goes) {
            is Goes.Form -> startActivity(form(goes.of))
            is Goes.Replacement ->
                startActivity(Intent(this, StockActivity::class.java).putExtra(CODE, screen.shown.hose?.answer?.code))
            is Goes.Scan -> scan()
            is Goes.ImportRecord -> startActivity(Intent(this, MeetingActivity::class.java))
            is Goes.Tag -> {
                sharing = true
                screen.touch(Touch.DrawTag(PictureFormat.PDF, "20mm", 300.toUShort()))
            }
            is Goes.Set -> startActivity(Intent(this, SetActivity::class.java).putExtra(SET, goes.name))
            is Goes.AtTheCounter -> Unit
        }
    }

    companion object {
        /** Whether the verdict is told aloud when it comes. */
        const val SPEAK = "speak"

        /** What is said above the answer: what was done just now. */
        const val SAID = "said"
        private val SIGNS: List<Sign> by lazy { verdictSigns() }

        /** The word of a verdict. */
        fun word(verdict: Verdict): String = SIGNS.first { it.verdict == verdict }.word
    }
}
