package org.hosewright.app

import android.Manifest
import android.annotation.SuppressLint
import android.content.Intent
import android.content.pm.PackageManager
import android.content.res.Configuration
import android.graphics.PointF
import android.graphics.SurfaceTexture
import android.os.Bundle
import android.util.Size
import android.view.MotionEvent
import android.view.Surface
import android.view.TextureView
import android.view.View
import android.widget.LinearLayout
import java.util.Locale
import org.hosewright.companion.FrameReader
import org.hosewright.companion.Screen
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
class ScanActivity : Page(), TextureView.SurfaceTextureListener {
    private val scan by screen {
        val wanted = if (finding()) Wanted.HOSE else if (reading()) Wanted.TEXT else Wanted.ANSWER
        if (ticking()) PageOf.Ticks(intent.form()) else PageOf.Scan(wanted)
    }
    private val reader by lazy { FrameReader(app.main, { seen -> scan.frame(seen.map { it.text }) }, { unread(it) }, { scan.hinted(it) }) }
    private val camera by lazy { Camera(this, reader) { what, why -> app.main.execute { scan.hindered(what, why) } } }
    private val chips by lazy { Chips(this) }
    private lateinit var picture: TextureView
    private var torch = false
    private var nearer = 1f
    private var darker = false
    private var asked = false

    /** What the chip held that began this page. */
    private var chip: ByteArray? = null

    /** What was written in the link that began this page. */
    private var link: String? = null

    override val screens: List<Screen> get() = listOf(scan)

    override val cancels get() = finding() || reading() || ticking()

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        focused()
        asked = state?.getBoolean(ASKED) ?: false
        if (state == null) take(intent)
        show()
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putBoolean(ASKED, asked)
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

    override fun frame(page: View): View {
        picture = TextureView(this).apply {
            contentDescription = say.cameraPicture
            surfaceTextureListener = this@ScanActivity
        }
        return LinearLayout(this).apply {
            val whole = LinearLayout.LayoutParams.MATCH_PARENT
            if (resources.configuration.orientation == Configuration.ORIENTATION_LANDSCAPE) {
                addView(picture, LinearLayout.LayoutParams(0, whole, 2f))
                addView(page, LinearLayout.LayoutParams(0, whole, 3f))
            } else {
                orientation = LinearLayout.VERTICAL
                addView(picture, LinearLayout.LayoutParams(whole, 0, 2f))
                addView(page, LinearLayout.LayoutParams(whole, 0, 3f))
            }
        }
    }

    override fun build(on: Sheet) {
        // A picture that cannot come leaves its room to the words and the ways on.
        picture.visibility = if (scan.shown.trouble?.obstacle in CAMERA) View.GONE else View.VISIBLE
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
        // Without a picture there is nothing to be set of it.
        if (picture.visibility == View.VISIBLE) on.buttons(settings())
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

    /** What can be set of the camera, as far as it has it. */
    private fun settings(): List<Triple<String, String, () -> Unit>> {
        val light = Triple("torch", if (torch) say.torchOff else say.torchOn) {
            torch = !torch
            camera.torch(torch)
            show()
        }
        val zoom = Triple("zoom", "${say.zoom} ${nearer.toInt()} ×") {
            nearer = camera.zooms[(camera.zooms.indexOf(nearer) + 1) % camera.zooms.size]
            camera.zoom(nearer)
            show()
        }
        val glare = Triple("glare", if (darker) say.usualLight else say.lessGlare) {
            darker = !darker
            camera.darker(darker)
            show()
        }
        return listOfNotNull(light.takeIf { camera.hasTorch }, zoom.takeIf { camera.zooms.size > 1 }, glare.takeIf { camera.canBeDarker })
    }

    /** A touch on the picture makes that place sharp. */
    @SuppressLint("ClickableViewAccessibility") // Who does not see it has nothing to point at; it is sharp by itself.
    private fun focused() = picture.setOnTouchListener { view, touch ->
        if (touch.action == MotionEvent.ACTION_UP) {
            @Suppress("DEPRECATION") // The other form needs API 30.
            val quarters = windowManager.defaultDisplay.rotation
            camera.focus(Camera.placed(PointF(touch.x, touch.y), Size(view.width, view.height), camera.size, camera.turned, quarters))
        }
        true
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
        when (way) {
            WayOn.ASK -> requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            WayOn.TYPE_CODE -> window.decorView.findViewWithTag<View>("code")?.requestFocus()
            else -> super.goOn(way, screen)
        }
    }

    private fun finding() = intent.getBooleanExtra(FIND, false)

    private fun reading() = intent.getBooleanExtra(READ, false)

    private fun ticking() = intent.getBooleanExtra(TICKS, false)

    override fun follows(screen: Screen, follows: Follows) {
        when (follows) {
            is Follows.Camera -> begin()
            is Follows.Ticked -> {
                app.voice.tick(follows.words, follows.well, scan.shown.ticks?.aloud == true)
                if (follows.all) finish()
                // What was typed is answered.
                else forgetTyped()
            }
            else -> super.follows(screen, follows)
        }
    }

    /** A frame that can't be read is said once, and not with each that follows. */
    private fun unread(why: Throwable) {
        if (scan.shown.trouble == null && scan.asking == 0) scan.hindered(Obstacle.FAULT, why.toString())
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
        camera.close()
        // Begun again, it is as it was by itself.
        torch = false
        nearer = 1f
        darker = false
        super.onPause()
    }

    override fun onDestroy() {
        camera.quit()
        reader.close()
        super.onDestroy()
    }

    private fun begin() {
        when {
            !packageManager.hasSystemFeature(PackageManager.FEATURE_CAMERA_ANY) -> scan.hindered(Obstacle.NO_CAMERA)
            checkSelfPermission(Manifest.permission.CAMERA) == PackageManager.PERMISSION_GRANTED -> {
                if (scan.shown.trouble?.obstacle in CAMERA) scan.touch(Touch.Dismiss)
                val texture = picture.surfaceTexture ?: return
                texture.setDefaultBufferSize(camera.size.width, camera.size.height)
                camera.open(Surface(texture))
            }
            !asked -> {
                asked = true
                requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            }
            else -> scan.hindered(refusal())
        }
    }

    /** The system says whether it would ask again only once it has asked. */
    private fun refusal() =
        if (shouldShowRequestPermissionRationale(Manifest.permission.CAMERA)) Obstacle.CAMERA_REFUSED
        else Obstacle.CAMERA_FORBIDDEN

    override fun onRequestPermissionsResult(request: Int, names: Array<String>, results: IntArray) {
        if (request != ASK || results.isEmpty()) return
        if (results[0] == PackageManager.PERMISSION_GRANTED) begin() else scan.hindered(refusal())
    }

    override fun onSurfaceTextureAvailable(texture: SurfaceTexture, width: Int, height: Int) {
        fill(width, height)
        begin()
    }

    override fun onSurfaceTextureSizeChanged(texture: SurfaceTexture, width: Int, height: Int) = fill(width, height)

    /** The camera's picture keeps its shape, however the phone is held. */
    private fun fill(width: Int, height: Int) {
        @Suppress("DEPRECATION") // The other form needs API 30.
        val quarters = windowManager.defaultDisplay.rotation
        picture.setTransform(Camera.filling(Size(width, height), camera.size, camera.turned, quarters))
    }

    override fun onSurfaceTextureDestroyed(texture: SurfaceTexture): Boolean {
        // It goes once the camera draws on it no more.
        camera.close { texture.release() }
        return false
    }

    override fun onSurfaceTextureUpdated(texture: SurfaceTexture) {}

    private fun go(to: Class<*>) = startActivity(Intent(this, to))

    private companion object {
        const val ASK = 1
        const val ASKED = "asked"

        /** What is in the way of a picture. */
        val CAMERA =
            setOf(Obstacle.NO_CAMERA, Obstacle.CAMERA_REFUSED, Obstacle.CAMERA_FORBIDDEN, Obstacle.CAMERA_BUSY)
    }
}
