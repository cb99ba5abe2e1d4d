package org.hosewright.app

import android.Manifest
import android.content.Intent
import android.content.pm.PackageManager
import android.content.res.Configuration
import android.graphics.SurfaceTexture
import android.os.Bundle
import android.view.Surface
import android.view.TextureView
import android.view.View
import android.widget.LinearLayout
import org.hosewright.companion.FrameReader
import org.hosewright.companion.ScanScreen
import org.hosewright.companion.Screen
import org.hosewright.companion.Trouble
import org.hosewright.companion.WelcomeScreen
import org.hosewright.companion.say
import org.hosewright.core.Answer
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.WayIn
import org.hosewright.core.WayOn

/**
 * The first page: the camera's picture, and the code to type. It answers, or
 * hands what it found to the page that asked for a hose ([FIND]) or for
 * whatever is written on a tag or a barcode ([READ]).
 */
class ScanActivity : Page(), TextureView.SurfaceTextureListener {
    private val scan by lazy { ScanScreen(desk, if (reading()) ::read else null, ::found) }
    private val welcome by lazy { WelcomeScreen(desk) }
    private val reader by lazy { FrameReader(app.main, { seen -> scan.seen(seen.map { it.text }) }, { scan.failed(it) }) }
    private val camera by lazy { Camera(this, reader) { what, why -> app.main.execute { scan.obstacle(what, why) } } }
    private val chips by lazy { Chips(this) }
    private lateinit var picture: TextureView
    private var torch = false
    private var asked = false

    /** What the chip held that began this page. */
    private var chip: ByteArray? = null

    override val screens: List<Screen<*>> get() = listOf(scan, welcome)

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        asked = state?.getBoolean(ASKED) ?: false
        if (state == null) takeChip(intent)
        show()
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putBoolean(ASKED, asked)
    }

    override fun onNewIntent(intent: Intent) {
        super.onNewIntent(intent)
        takeChip(intent)
    }

    private fun takeChip(intent: Intent) {
        chip = Chips.messageOf(intent)
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
        picture.visibility = if (scan.trouble?.obstacle in CAMERA) View.GONE else View.VISIBLE
        trouble(on, scan)
        if (scan.asking > 0) on.quiet(say.asking)
        if (camera.hasTorch) {
            on.button("torch", if (torch) say.torchOff else say.torchOn) {
                torch = !torch
                camera.torch(torch)
                show()
            }
        }
        val field = on.field("code", say.codeOnTag) {}
        on.button("answer", say.answer, main = true) { scan.typed(field.text.toString()) }
        if (finding() || reading()) return
        ways(on)
        on.buttons(
            listOf(
                Triple("sets", say.sets) { go(SetsActivity::class.java) },
                Triple("due", say.due) { go(DueActivity::class.java) },
            ),
        )
        on.button("meeting", say.shareAndReceive) { go(MeetingActivity::class.java) }
        on.button("new-hose", say.newHose) { go(FormActivity::class.java) }
        on.field("name", say.yourName, app.name) { app.rename(it) }
    }

    override fun near(on: Sheet, trouble: Trouble) {
        for (code in trouble.near) on.button("near-$code", code) { scan.typed(code) }
        val unused = trouble.unused
        if (unused != null && !finding()) {
            on.button("register", say.registerIt) { startActivity(form(FormOf.Register(unused))) }
        }
    }

    /** The ways into a record that has no hose yet. */
    private fun ways(on: Sheet) {
        if (scan.trouble == null) trouble(on, welcome)
        val greeting = welcome.shown ?: return
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

    override fun goOn(way: WayOn, screen: Screen<*>) {
        when (way) {
            WayOn.ASK -> requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            WayOn.TYPE_CODE -> window.decorView.findViewWithTag<View>("code")?.requestFocus()
            WayOn.TRY_AGAIN -> if (scan.trouble?.obstacle == Obstacle.CAMERA_BUSY) begin() else screen.tryAgain()
            else -> super.goOn(way, screen)
        }
    }

    private fun finding() = intent.getBooleanExtra(FIND, false)

    private fun reading() = intent.getBooleanExtra(READ, false)

    private fun read(text: String) {
        setResult(RESULT_OK, Intent().putExtra(CODE, text))
        finish()
    }

    private fun found(answer: Answer) {
        if (finding()) {
            setResult(RESULT_OK, Intent().putExtra(CODE, answer.code))
            finish()
        } else {
            startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, answer.asked()).putExtra(HoseActivity.SPEAK, true))
        }
    }

    /** What names the hose again: a tag without a record here is known by its text alone. */
    private fun Answer.asked(): String = if (onRecord) code else scan.lastText ?: code

    override fun onResume() {
        super.onResume()
        scan.resume()
        if (!finding() && !reading()) welcome.load()
        chip?.let { scan.chip(it) }
        chip = null
        chips.listen { tag ->
            val message = try {
                Chips.chipOf(tag)?.read()
            } catch (lost: java.io.IOException) {
                app.main.execute { scan.obstacle(Obstacle.CHIP_LOST, lost.message) }
                null
            }
            if (message != null) app.main.execute { scan.chip(message) }
        }
        begin()
    }

    override fun onPause() {
        chips.stop()
        camera.close()
        torch = false
        super.onPause()
    }

    override fun onDestroy() {
        reader.close()
        super.onDestroy()
    }

    private fun begin() {
        when {
            !packageManager.hasSystemFeature(PackageManager.FEATURE_CAMERA_ANY) -> scan.obstacle(Obstacle.NO_CAMERA)
            checkSelfPermission(Manifest.permission.CAMERA) == PackageManager.PERMISSION_GRANTED -> {
                if (scan.trouble?.obstacle != null) scan.dismiss()
                val texture = picture.surfaceTexture ?: return
                texture.setDefaultBufferSize(camera.size.width, camera.size.height)
                camera.open(Surface(texture))
            }
            !asked -> {
                asked = true
                requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            }
            else -> scan.obstacle(refusal())
        }
    }

    /** The system says whether it would ask again only once it has asked. */
    private fun refusal() =
        if (shouldShowRequestPermissionRationale(Manifest.permission.CAMERA)) Obstacle.CAMERA_REFUSED
        else Obstacle.CAMERA_FORBIDDEN

    override fun onRequestPermissionsResult(request: Int, names: Array<String>, results: IntArray) {
        if (request != ASK || results.isEmpty()) return
        if (results[0] == PackageManager.PERMISSION_GRANTED) begin() else scan.obstacle(refusal())
    }

    override fun onSurfaceTextureAvailable(texture: SurfaceTexture, width: Int, height: Int) = begin()

    override fun onSurfaceTextureSizeChanged(texture: SurfaceTexture, width: Int, height: Int) {}

    override fun onSurfaceTextureDestroyed(texture: SurfaceTexture): Boolean {
        camera.close()
        return true
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
