package org.hosewright.app

import android.animation.ValueAnimator
import android.content.Context
import android.content.Intent
import android.graphics.Rect
import android.os.Bundle
import android.os.Handler
import android.os.Looper
import android.view.WindowManager
import org.hosewright.companion.Projector
import org.hosewright.companion.say
import org.hosewright.core.FilmOf
import org.hosewright.core.FilmShown
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** A film on this screen, for the camera of another device. */
class ShowActivity : OnePage() {
    override fun of() = PageOf.Show(intent.film(), calm = !ValueAnimator.areAnimatorsEnabled())
    override val name get() = say.filmShown

    private val projector by lazy { Projector(screen) }
    private val view by lazy {
        FilmView(this).apply {
            contentDescription = say.filmShown
            isFocusable = true
            setOnClickListener { if (running) pause() else run() }
        }
    }
    private val handler = Handler(Looper.getMainLooper())
    private var running = false

    /** How the film is shown. */
    private var film: FilmShown? = null

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        show()
    }

    override fun build(on: Sheet) {
        trouble(on, screen)
        val film = screen.shown.film ?: return on.quiet(say.asking)
        if (film != this.film) changed(film)
        // While it runs there is nothing but the film to look at.
        val waits = film.still || !running
        if (film.still || running) on.own(view)
        if (waits) {
            on.words(film.words)
            film.caution?.let { on.warning(it) }
        }
        on.words(film.hold)
        if (waits && film.paces.isNotEmpty()) {
            on.heading(say.paceOfFilm)
            for (pace in film.paces) {
                on.choice("pace-${pace.pace}", pace.words, pace.chosen, one = true) { screen.touch(Touch.Pace(pace.pace)) }
            }
        }
        if (!film.still) on.next("go", if (running) say.pauseFilm else say.startFilm) { if (running) pause() else run() }
        if (waits) on.orNext("watch", say.watchFilm) { startActivity(Intent(this, WatchActivity::class.java)) }
    }

    /** It is shown for the first time, or otherwise than before. */
    private fun changed(film: FilmShown) {
        if (this.film != null) projector.change()
        this.film = film
        if (film.still && !running) run()
    }

    private fun run() {
        running = true
        // A screen that goes dark, or is not bright, ends the film for whoever watches.
        window.addFlags(WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON)
        bright(WindowManager.LayoutParams.BRIGHTNESS_OVERRIDE_FULL)
        step()
        if (film?.still == true) return
        show()
        view.post { view.requestRectangleOnScreen(Rect(0, 0, view.width, view.height), true) }
    }

    /** Shows the next frame, and comes again; one that stands still comes until it is there. */
    private fun step() {
        val film = film ?: return
        if (!running) return
        val frame = projector.next()
        if (frame != null) view.frame = frame
        if (frame == null || !film.still) handler.postDelayed(::step, 1_000L / film.rate.toLong())
    }

    private fun pause() {
        stop()
        show()
    }

    private fun stop() {
        running = false
        handler.removeCallbacksAndMessages(null)
        window.clearFlags(WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON)
        bright(WindowManager.LayoutParams.BRIGHTNESS_OVERRIDE_NONE)
    }

    private fun bright(light: Float) {
        window.attributes = window.attributes.apply { screenBrightness = light }
    }

    override fun onResume() {
        super.onResume()
        // What stands still is shown again; a film begins by a touch.
        if (film?.still == true && !running) run()
        show()
    }

    override fun onPause() {
        stop()
        super.onPause()
    }
}

private const val FILM = "film"
private const val HAS = "has"

/** Leads to a film. */
fun Context.film(of: FilmOf): Intent = Intent(this, ShowActivity::class.java).apply {
    when (of) {
        is FilmOf.Everything -> putExtra(FILM, "everything")
        is FilmOf.Holdings -> putExtra(FILM, "holdings")
        is FilmOf.Rest -> putExtra(FILM, "rest").putExtra(HAS, of.has)
    }
}

/** The film to which it leads. */
private fun Intent.film(): FilmOf = when (getStringExtra(FILM)) {
    "holdings" -> FilmOf.Holdings
    "rest" -> FilmOf.Rest(getByteArrayExtra(HAS) ?: ByteArray(0))
    else -> FilmOf.Everything
}
