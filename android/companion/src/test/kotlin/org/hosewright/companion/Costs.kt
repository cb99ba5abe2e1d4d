package org.hosewright.companion

import java.nio.ByteBuffer
import java.nio.file.Files
import java.nio.file.Paths
import org.hosewright.core.FilmReader
import org.hosewright.core.Logbook
import org.hosewright.core.Place

/**
 * What the border costs on the JVM; `android/companion/costs` runs it. No test:
 * times are measured and recorded, not asserted.
 */
object Costs {
    @JvmStatic
    fun main(typed: Array<String>) {
        val (store, keys, code, picture) = typed
        val place = Place(store, keys)
        val first = System.nanoTime()
        val logbook = Logbook.open(place)
        logbook.answer(code, MOMENT)
        println("first open and answer: ${(System.nanoTime() - first) / 1000} µs")
        println("open: ${median(50) { Logbook.open(place).close() }} µs")
        println("answer: ${median(2000) { logbook.answer(code, MOMENT) }} µs")
        val bytes = Files.readAllBytes(Paths.get(picture))
        val size = 1280 * 720
        val frame = ByteBuffer.allocateDirect(size).put(bytes, bytes.size - size, size).apply { clear() }
        fun FilmReader.read(luma: ByteBuffer) = read(luma, 1280u, 720u, 1280u)
        FilmReader().use { film ->
            println("texts in the frame: ${film.read(frame).size}")
            println("the next frame: ${median(100) { film.read(frame) }} µs")
        }
        println("a first frame: ${median(100) { FilmReader().use { it.read(frame) } }} µs")
        val even = ByteBuffer.allocateDirect(size)
        for (at in 0 until size) even.put(at, 128.toByte())
        FilmReader().use { film -> println("even frame: ${median(100) { film.read(even) }} µs") }
        logbook.close()
    }

    private fun median(times: Int, work: () -> Unit): Long {
        repeat(times / 5) { work() }
        val all = LongArray(times) {
            val start = System.nanoTime()
            work()
            (System.nanoTime() - start) / 1000
        }
        return all.sorted()[times / 2]
    }
}
