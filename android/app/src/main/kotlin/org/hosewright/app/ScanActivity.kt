package org.hosewright.app

import android.content.Intent
import android.os.Bundle
import android.view.View
import java.util.Locale
import org.hosewright.companion.FrameReader
import org.hosewright.companion.Screen
import org.hosewright.companion.TagEye
import org.hosewright.companion.Tags
import org.hosewright.companion.say
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Trouble
import org.hosewright.core.Wanted
import org.hosewright.core.WayIn
import org.hosewright.core.WayOn

/**
 * The first page: the camera's picture, and the code to type. It answers, or
 * hands what it found to the page that asked for a hose ([FIND]) or for
 * whatever is written on a tag or a barcode ([READ]); or it stays open while the
 * hoses of a form tick off ([TICKS]).
 */
class ScanActivity : CameraPage() {
    private val scan by screen {
        val wanted = if (finding()) Wanted.HOSE else if (reading()) Wanted.TEXT else Wanted.ANSWER
        if (ticking()) PageOf.Ticks(intent.form()) else PageOf.Scan(wanted)
    }
    override val reader by lazy { FrameReader(app.main, ::seen, ::unread, ::TagEye) }
    private val chips by lazy { Chips(this) }

    /** What the chip held that began this page. */
    private var chip: ByteArray? = null

    /** What was written in the link that began this page. */
    private var link: String? = null

    override val screens: List<Screen> get() = listOf(scan)

    override val cancels get() = finding() || reading() || ticking()

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        if (state == null) take(intent)
        show()
    }

    override fun onNewIntent(intent: Intent) {
        super.onNewIntent(intent)
        take(intent)
    }

    /** What a chip or a link holds that began this page. */
    private fun take(intent: Intent) {
        chip = Chips.messageOf(intent)
        // The system folds a link's scheme to small letters; a tag has capitals.
        link = intent.dataString?.takeIf { intent.action == Intent.ACTION_VIEW }?.uppercase(Locale.ROOT)
    }

    override fun build(on: Sheet) {
        trouble(on, scan)
        val ticks = scan.shown.ticks
        if (ticks != null) {
            title = ticks.title
            scan.shown.said.forEach { on.said(it) }
            on.heading(ticks.words)
        }
        // What to do about a tag that shows itself and can't be read yet.
        if (scan.shown.trouble == null) on.said(scan.hint ?: say.looking)
        if (scan.asking > 0) on.quiet(say.asking)
        settings(on)
        val field = on.field("code", say.codeOnTag, go = { scan.touch(Touch.Typed(it)) }) {}
        on.button("answer", say.answer, main = true) { scan.touch(Touch.Typed(field.text.toString())) }
        if (ticks != null) {
            for (list in ticks.lists) hoses(on, list)
            on.next("finished", say.finished) { finish() }
        }
        if (finding() || reading() || ticking()) return
        ways(on)
        // A set day and its words; the core says whether and which.
        scan.shown.reminding?.let { Reminders.keep(this, it.next) }
        scan.shown.sharing?.let { closing(on, it) }
        if (scan.shown.sharing?.warn == true) on.button("meeting", say.shareAndReceive, main = true) { go(MeetingActivity::class.java) }
        on.buttons(
            listOf(
                Triple("hoses", say.hoses) { go(HosesActivity::class.java) },
                Triple("sets", say.sets) { go(SetsActivity::class.java) },
                Triple("due", say.due) { go(DueActivity::class.java) },
                Triple("settings", say.settings) { startActivity(form(FormOf.Settings)) },
            ),
        )
        if (scan.shown.sharing?.warn != true) on.button("meeting", say.shareAndReceive) { go(MeetingActivity::class.java) }
        on.button("new-hose", say.newHose) { go(FormActivity::class.java) }
        on.button("help", say.help) { startActivity(form(FormOf.Help)) }
    }

    override fun near(on: Sheet, trouble: Trouble) {
        for (near in trouble.near) on.button("near-${near.code}", near.words) { scan.touch(Touch.Typed(near.code)) }
        val unused = trouble.unused
        if (unused != null && !finding() && !ticking()) {
            on.button("register", say.registerIt) { startActivity(form(FormOf.Register(unused))) }
        }
    }

    /** The ways into a record that has no hose yet. */
    private fun ways(on: Sheet) {
        val greeting = scan.shown.welcome ?: return
        on.heading(greeting.words)
        for (way in greeting.ways) {
            on.words(way.lead)
            val to = when (way.way) {
                WayIn.REGISTER -> FormActivity::class.java
                WayIn.BRING_IN -> MeetingActivity::class.java
            }
            on.button("way-in-${way.way}", way.words) { go(to) }
        }
    }

    override fun goOn(way: WayOn, screen: Screen) {
        if (way == WayOn.TYPE_CODE) window.decorView.findViewWithTag<View>("code")?.requestFocus() else super.goOn(way, screen)
    }

    private fun seen(tags: Tags) {
        scan.frame(tags.texts.map { it.text })
        scan.hinted(tags.hint)
    }

    private fun finding() = intent.getBooleanExtra(FIND, false)

    private fun reading() = intent.getBooleanExtra(READ, false)

    private fun ticking() = intent.getBooleanExtra(TICKS, false)

    override fun follows(screen: Screen, follows: Follows) {
        when (follows) {
            is Follows.Ticked -> {
                app.voice.tick(follows.words, follows.well, scan.shown.ticks?.aloud == true)
                if (follows.all) finish()
                // What was typed is answered.
                else forgetTyped()
            }
            else -> super.follows(screen, follows)
        }
    }

    override fun onResume() {
        super.onResume()
        scan.touch(Touch.Look)
        chip?.let { scan.touch(Touch.ChipRead(it)) }
        chip = null
        link?.let { scan.touch(Touch.Seen(listOf(it))) }
        link = null
        chips.listen { tag ->
            val message = try {
                Chips.chipOf(tag)?.read()
            } catch (lost: java.io.IOException) {
                app.main.execute { scan.hindered(Obstacle.CHIP_LOST, lost.message) }
                null
            }
            if (message != null) app.main.execute { scan.touch(Touch.ChipRead(message)) }
        }
        begin()
    }

    override fun onPause() {
        chips.stop()
        super.onPause()
    }

    private fun go(to: Class<*>) = startActivity(Intent(this, to))
}
