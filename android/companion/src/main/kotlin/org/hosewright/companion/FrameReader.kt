package org.hosewright.companion

import java.nio.ByteBuffer
import java.util.concurrent.Executor
import java.util.concurrent.Executors
import java.util.concurrent.RejectedExecutionException
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicBoolean
import org.hosewright.core.FilmReader
import org.hosewright.core.FilmReaderInterface
import org.hosewright.core.SeenText

/** A grey frame of a camera, in memory that is not the JVM's own. */
class Frame(
    /** A byte a pixel; a direct buffer, as a camera's first plane is. */
    val luma: ByteBuffer,
    /** Pixels a row. */
    val width: Int,
    /** Rows. */
    val height: Int,
    /** Bytes from row to row. */
    val stride: Int,
    private val giveBack: () -> Unit,
) : AutoCloseable {
    /** Gives the memory back to the camera. */
    override fun close() = giveBack()
}

/** What looks at a camera's frames, one after another, from its beginning to its end. */
interface Eye<S> : AutoCloseable {
    /** Looks at a frame, which is in memory from its beginning on. */
    fun see(luma: ByteBuffer, width: UInt, height: UInt, stride: UInt): S

    override fun close() {}
}

/** What is written in a frame, and what to do about a tag that shows itself and can't be read yet. */
class Tags(val texts: List<SeenText>, val hint: String?)

/** Reads tags and barcodes. */
class TagEye(private val film: FilmReaderInterface = FilmReader()) : Eye<Tags> {
    override fun see(luma: ByteBuffer, width: UInt, height: UInt, stride: UInt) =
        Tags(film.read(luma, width, height, stride), film.hint())

    override fun close() {
        (film as? AutoCloseable)?.close()
    }
}

/**
 * Looks at frames on a thread of its own, one at a time; [seen] hears of each, also of
 * those without anything in them. A frame that comes while another is looked at is given
 * back unread: a camera makes new ones faster than old ones are worth reading.
 *
 * The frames from a camera's beginning to [endFilm] are for one eye, which follows them
 * from frame to frame.
 */
class FrameReader<S>(
    private val main: Executor,
    private val seen: (S) -> Unit,
    private val failed: (Throwable) -> Unit,
    private val begin: () -> Eye<S>,
) : AutoCloseable {
    private val worker = Executors.newSingleThreadExecutor { Thread(it, "hosewright-frames") }
    private val reading = AtomicBoolean(false)

    /** Touched by the worker alone. */
    private var eye: Eye<S>? = null

    @Volatile private var closed = false

    /** Takes a frame over, and gives it back in any case. False if it is not read. */
    fun offer(frame: Frame): Boolean {
        if (closed || !reading.compareAndSet(false, true)) {
            frame.close()
            return false
        }
        try {
            worker.execute { read(frame) }
        } catch (_: RejectedExecutionException) {
            frame.close()
            return false
        }
        return true
    }

    /**
     * Does something once every frame that was taken so far is given back: what
     * belongs to a frame's memory must not be closed while it is read.
     */
    fun afterwards(work: () -> Unit) {
        try {
            worker.execute(work)
        } catch (_: RejectedExecutionException) {
            worker.awaitTermination(10, TimeUnit.SECONDS)
            work()
        }
    }

    private fun read(frame: Frame) {
        val outcome = frame.use {
            outcomeOf {
                val eye = eye ?: begin().also { eye = it }
                // The door takes the memory from its beginning, wherever the buffer stands.
                eye.see(it.luma.slice(), it.width.toUInt(), it.height.toUInt(), it.stride.toUInt())
            }
        }
        reading.set(false)
        if (closed) return
        main.execute {
            if (closed) return@execute
            outcome.onFailure(failed).onSuccess(seen)
        }
    }

    /** The camera is given back: what was kept of its film goes, and the next frame begins another. */
    fun endFilm() {
        try {
            worker.execute(::drop)
        } catch (_: RejectedExecutionException) {
            // Closed, and dropped then.
        }
    }

    private fun drop() {
        eye?.close()
        eye = null
    }

    /** Reads no more, and tells no more; a frame that is read just now is given back. */
    override fun close() {
        closed = true
        endFilm()
        worker.shutdown()
    }
}
