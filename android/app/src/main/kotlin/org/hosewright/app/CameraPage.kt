package org.hosewright.app

import android.Manifest
import android.annotation.SuppressLint
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
import org.hosewright.companion.FrameReader
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.Follows
import org.hosewright.core.Obstacle
import org.hosewright.core.Touch
import org.hosewright.core.WayOn

/** A page with the camera's picture over it, or beside it where the phone lies on its side. */
abstract class CameraPage : Page(), TextureView.SurfaceTextureListener {
    /** The screen that hears of the camera. */
    private val own: Screen get() = screens.single()

    /** What looks at the frames. */
    protected abstract val reader: FrameReader<*>

    /** Whether anything is looked for. */
    protected open val looks: Boolean get() = true

    private val camera by lazy { Camera(this, reader) { what, why -> app.main.execute { own.hindered(what, why) } } }
    private lateinit var picture: TextureView
    private var torch = false
    private var nearer = 1f
    private var darker = false
    private var asked = false

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        focused()
        asked = state?.getBoolean(ASKED) ?: false
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putBoolean(ASKED, asked)
    }

    override fun frame(page: View): View {
        picture = TextureView(this).apply {
            contentDescription = say.cameraPicture
            surfaceTextureListener = this@CameraPage
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

    /**
     * The picture, and what can be set of the camera, as far as it has it. A picture that
     * can't come leaves its room to the words and the ways on.
     */
    protected fun settings(on: Sheet) {
        if (!looks) camera.close()
        picture.visibility = if (!looks || own.shown.trouble?.obstacle in CAMERA) View.GONE else View.VISIBLE
        // Without a picture there is nothing to be set of it.
        if (picture.visibility == View.VISIBLE) on.buttons(settings())
    }

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

    override fun goOn(way: WayOn, screen: Screen) {
        when (way) {
            WayOn.ASK -> requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            else -> super.goOn(way, screen)
        }
    }

    override fun follows(screen: Screen, follows: Follows) {
        if (follows is Follows.Camera) begin() else super.follows(screen, follows)
    }

    /** A frame that can't be read is said once, and not with each that follows. */
    protected fun unread(why: Throwable) {
        if (own.shown.trouble == null && own.asking == 0) own.hindered(Obstacle.FAULT, why.toString())
    }

    override fun onPause() {
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

    /** Begins with the camera, as far as it may be used. */
    protected fun begin() {
        if (!looks) return camera.close()
        when {
            !packageManager.hasSystemFeature(PackageManager.FEATURE_CAMERA_ANY) -> own.hindered(Obstacle.NO_CAMERA)
            checkSelfPermission(Manifest.permission.CAMERA) == PackageManager.PERMISSION_GRANTED -> {
                if (own.shown.trouble?.obstacle in CAMERA) own.touch(Touch.Dismiss)
                val texture = picture.surfaceTexture ?: return
                texture.setDefaultBufferSize(camera.size.width, camera.size.height)
                camera.open(Surface(texture))
            }
            !asked -> {
                asked = true
                requestPermissions(arrayOf(Manifest.permission.CAMERA), ASK)
            }
            else -> own.hindered(refusal())
        }
    }

    /** The system says whether it would ask again only once it has asked. */
    private fun refusal() =
        if (shouldShowRequestPermissionRationale(Manifest.permission.CAMERA)) Obstacle.CAMERA_REFUSED
        else Obstacle.CAMERA_FORBIDDEN

    override fun onRequestPermissionsResult(request: Int, names: Array<String>, results: IntArray) {
        if (request != ASK || results.isEmpty()) return
        if (results[0] == PackageManager.PERMISSION_GRANTED) begin() else own.hindered(refusal())
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

    private companion object {
        const val ASK = 1
        const val ASKED = "asked"

        /** What is in the way of a picture. */
        val CAMERA =
            setOf(Obstacle.NO_CAMERA, Obstacle.CAMERA_REFUSED, Obstacle.CAMERA_FORBIDDEN, Obstacle.CAMERA_BUSY)
    }
}
