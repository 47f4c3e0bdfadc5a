package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class BesideTest {
  @Test
  void aPlaceStaysWhereItIsWhileOneZooms() {
    Beside b = Beside.WHOLE.zoomed(4, 0.4, 0.6);
    assertEquals(4, b.zoom(), 1e-9);
    // The place lay 0.1 left of the middle; at four times the size it lies 0.1 of the view away
    // still, which is a quarter of that on the photo.
    assertEquals(0.4 + 0.1 / 4, b.x(), 1e-9);
    assertEquals(0.6 - 0.1 / 4, b.y(), 1e-9);
    Beside back = b.zoomed(0.25, 0.4, 0.6);
    assertEquals(Beside.WHOLE, back);
  }

  @Test
  void theMiddleStaysOnThePhotoAndTheZoomInItsBounds() {
    Beside b = Beside.WHOLE.panned(3, -3);
    assertEquals(Beside.WHOLE, b);
    b = Beside.WHOLE.zoomed(2, 0.5, 0.5).panned(3, -3);
    assertEquals(0.75, b.x(), 1e-9);
    assertEquals(0.25, b.y(), 1e-9);
    assertEquals(Beside.LARGEST, Beside.WHOLE.zoomed(1000, 0.5, 0.5).zoom(), 1e-9);
  }
}
